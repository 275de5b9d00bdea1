"""What a look that is not yet taken may find: its outcomes, and their chances in every draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_sightings import Seen, is_tapped, read_sighting
from lattermath.belief.count_likelihood import at_most
from lattermath.belief.life_figures import LifeFigures
from lattermath.vocabulary.events import LookedAt, Measure, Sighting

FloatArray = NDArray[np.float64]

# Totals told apart: each class reaches to the number given, the last is all above. Classes grow
# with the number, since a look has two fifths of its size wrong anyway.
MOST_OF_CLASS = (
    0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 22, 27, 33, 40, 49, 60, 73, 90, 110, 135, 165, 200,
    245, 300, 370, 450, 550, 670, 820, 1000, 1500, 2500, 5000, 10000,
)  # fmt: skip
COUNTABLE = tuple(most for most in MOST_OF_CLASS if most <= 370)  # judgement: then one gives up


@dataclass(frozen=True, slots=True, eq=False)
class ComingLook:
    """One look at one planting.

    seen     : what it would be as evidence; its total is not known yet.
    expected : insects that would be seen on all leaves together, (n_draws,).
    """

    seen: Seen
    expected: FloatArray

    def chances(self) -> FloatArray:
        """Of each class of the total in each draw, rows sum to 1, (n_draws, n_classes).

        What is more than can be counted is one class.
        """
        up_to = [
            at_most(self.expected, most, self.seen.leaves, self.seen.spread) for most in COUNTABLE
        ]
        edges = np.stack([np.zeros_like(self.expected), *up_to, np.ones_like(self.expected)], 1)
        return np.asarray(np.maximum(np.diff(edges, axis=1), 0.0))


def coming_look(
    life: LifeFigures,
    stands: Sequence[Stand],
    place: int,
    day: int,
    on_planting: FloatArray,
    detection: FloatArray,
    leaves: int,
    measure: Measure = "count",
    stage: str = "",
) -> ComingLook:
    """A look at one planting on a day, under the observation model of looks that were taken.

    on_planting : insects by stage on the planting that day, (n_draws, n_stages).
    detection   : how well this grower sees, (n_draws,).
    leaves      : leaves turned over; plants, for a shake.
    stage       : the stages meant; "": what growers count, and adults.
    """
    stand = stands[place]
    tapped = measure != "shake" and not stage.startswith("egg") and is_tapped(life, stand)
    surface: LookedAt = "flowers" if tapped else "underside"
    sighting = Sighting(stand.key, life.organism, measure, stage, surface, leaves, total=0)
    seen = read_sighting(sighting, day, -1, stands, life)
    assert seen is not None  # it names a planting of these stands and a total
    return ComingLook(seen, seen.expected(on_planting, detection))
