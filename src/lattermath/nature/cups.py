"""Young plants that wait in cups: each fills its cup, meets the wall, and then loses by waiting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.crops import Crop
from lattermath.vocabulary.errors import Fault, InputError

FloatArray = NDArray[np.float64]

TABLE_CUP_ML = 200.0  # the cup that the nursery days of the tables assume
ROOM_SPAN = (0.2, 0.5)  # judgement: power of the volume by which a larger cup lasts longer
PLANT_SD = 0.12  # judgement: young plants of one lot beside one another, log
MOST_LOST = (0.1, 0.5)  # judgement: of its bearing, that a plant long past its time may lose
SOON = 0.6  # judgement: in shares of the heat to the wall, over which most of that is lost
CHECKED = 0.4  # judgement: heat lost in settling for each unit of heat past the wall
COMES_UP = (8.0, 2.0)  # judgement: beta law of the share of the seed that makes a young plant


@dataclass(slots=True, eq=False)
class Cups:
    """One lot. Heat is in C d above the crop's own base, from hours.

    ready : heat at which a plant is as old as the tables set it out.
    wall  : heat at which its roots meet the wall of the cup, (n_plants,).
    most  : share of its bearing that waiting may cost in the end.
    """

    crop: str
    cup_ml: float
    base_c: float
    upper_c: float
    ready: float
    wall: FloatArray
    most: float
    heat: float = 0.0

    @property
    def plants(self) -> int:
        """Young plants that are there."""
        return len(self.wall)

    def a_day_on(self, hours_c: FloatArray) -> None:
        """Let a day's hours pass."""
        self.heat += float((np.clip(hours_c, self.base_c, self.upper_c) - self.base_c).mean())

    def take(self, plants: int) -> tuple[float, FloatArray]:
        """Take the best plants out; their lead, and the share of its bearing that each keeps.

        Gives the heat by which they are ahead of the tables' usual age, below 0 where they are too
        young or were checked, and shares, (n_taken,). InputError where there are not so many.
        """
        if not 0 < plants <= self.plants:
            raise InputError(Fault("the lot does not hold that many", "plants", str(plants)))
        order = np.argsort(-self.wall)
        wall, self.wall = self.wall[order[:plants]], self.wall[order[plants:]]
        past = np.maximum(self.heat - wall, 0.0)
        keeps = 1.0 - self.most * (1.0 - np.exp(-past / wall / SOON))
        lead = np.minimum(self.heat, wall) - self.ready - CHECKED * past
        return float(lead.mean()), keeps


def throw_cups(crop: Crop, seeds: int, cup_ml: float, rng: np.random.Generator) -> Cups:
    """Throw a lot sown today; InputError for a crop that the tables do not grow in cups."""
    ready, days, coils = crop.nursery_ready_dd, crop.nursery_ready_days, crop.pot_bound_days
    if ready is None or days is None or coils is None:
        raise InputError(Fault("the tables grow no such plants in cups", "crop", crop.id))
    up = int(rng.binomial(seeds, rng.beta(*COMES_UP)))
    larger = (cup_ml / TABLE_CUP_ML) ** rng.uniform(*ROOM_SPAN)
    usual = ready.value * coils.value / days.value * larger
    return Cups(
        crop=crop.id,
        cup_ml=cup_ml,
        base_c=crop.t_base.value,
        upper_c=crop.t_upper.value,
        ready=float(rng.uniform(*ready.span)),
        wall=usual * np.exp(rng.normal(0, PLANT_SD, up)),
        most=float(rng.uniform(*MOST_LOST)),
    )
