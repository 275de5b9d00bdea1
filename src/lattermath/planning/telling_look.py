"""Which look would tell apart what may explain a sighting: most information a minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.coming_look import COUNTABLE, coming_look
from lattermath.belief.explanations import Explained
from lattermath.belief.life_figures import LifeFigures
from lattermath.planning.ten_leaves import LEAVES
from lattermath.vocabulary.at_odds import LEAST_NAMED, MOST_NAMED
from lattermath.vocabulary.events import Measure

FloatArray = NDArray[np.float64]

PLANTS_SHAKEN = 3
MINUTES = {"count": 4.0, "eggs": 6.0, "shake": 1.5}  # judgement
RISES = "whitefly"  # judgement: of those reckoned, only these rise in numbers when shaken
LEAST_BITS = 0.05  # judgement: a look that tells less is not named
OF_ONE_PLANTING = ("miscounted", "another pest", "slip", "looked elsewhere")


@dataclass(frozen=True, slots=True)
class TellingLook:
    """One look, and about what it would find by each explanation.

    whole : plants are looked over, as what is counted by plant wants it; else leaves are turned.
    bits  : expected information on which explanation it is. [bit]
    finds : median total by explanation, inf where it is more than can be counted.
    """

    place: int
    measure: Measure
    stage: str
    units: int
    minutes: float
    bits: float
    finds: dict[str, float]
    whole: bool = False


def telling_look(
    life: LifeFigures, stands: Sequence[Stand], found: Sequence[Explained], day: int, odd: Seen
) -> TellingLook | None:
    """The look that tells most a minute on a day; None where none tells the likely ones apart.

    found : the likeliest first; what a sheet does not name is not told apart either.
    odd : the sighting. Whether it was seen and written aright the same look there says.
    """
    likely = [one for one in found if one.share >= LEAST_NAMED][:MOST_NAMED]
    if len(likely) < 2:
        return None
    looks = [
        _weighed(life, stands, likely, day, place, what)
        for place, what in _looks(life, stands, likely, odd)
    ]
    telling = [one for one in looks if one.bits >= LEAST_BITS]
    return max(telling, key=lambda one: one.bits / one.minutes, default=None)


def _looks(
    life: LifeFigures, stands: Sequence[Stand], likely: Sequence[Explained], odd: Seen
) -> list[tuple[int, str]]:
    """Place and way of what may tell: on any planting of one's own, or of the sighting alone."""
    if any(one.key in OF_ONE_PLANTING for one in likely):
        again = "shake" if odd.measure in ("shake", "card") else "count"
        return [(odd.place, again if again in _ways(life) else "count")]
    own = [place for place, stand in enumerate(stands) if stand.treatable]
    return [(place, what) for place in own for what in _ways(life)]


def _ways(life: LifeFigures) -> tuple[str, ...]:
    """Counting what growers count; eggs where they are laid; shaking where adults rise."""
    eggs = any(stage.startswith("egg") for stage in life.stages)
    return ("count", *(["eggs"] if eggs else []), *(["shake"] if RISES in life.organism else []))


def _weighed(
    life: LifeFigures,
    stands: Sequence[Stand],
    likely: Sequence[Explained],
    day: int,
    place: int,
    what: str,
) -> TellingLook:
    measure: Measure = "shake" if what == "shake" else "count"
    stage = "eggs" if what == "eggs" else ""
    whole = life.habits.counted_by_plant
    plants = min(PLANTS_SHAKEN if what == "shake" else LEAVES, stands[place].plants)
    units = plants if whole or what == "shake" else LEAVES
    chances = {}
    for one in likely:
        look = coming_look(
            life, stands, place, day, one.numbers[:, place], one.detection, units, measure, stage
        )
        chances[one.key] = one.now @ look.chances()
    share = np.array([one.share for one in likely])
    bits = information(share / share.sum(), np.stack(list(chances.values())))
    finds = {key: _median(chance) for key, chance in chances.items()}
    return TellingLook(place, measure, stage, units, MINUTES[what], bits, finds, whole)


def information(shares: FloatArray, chances: FloatArray) -> float:
    """Expected information of an outcome on which of several it is. [bit]

    shares  : of each, summing to 1, (n_several,).
    chances : of each outcome under each, rows sum to 1, (n_several, n_outcomes).
    """
    whole = shares @ chances
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(chances > 0, np.log2(chances / whole), 0.0)
    return max(float((shares[:, None] * chances * ratio).sum()), 0.0)


def _median(chance: FloatArray) -> float:
    place = int(np.searchsorted(np.cumsum(chance), 0.5))
    return float(COUNTABLE[place]) if place < len(COUNTABLE) else np.inf
