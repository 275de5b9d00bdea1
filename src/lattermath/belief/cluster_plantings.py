"""The plantings that the adults of one organism connect: hosts, leaves, distances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.life_figures import HostTerms, LifeFigures
from lattermath.knowledge.crosswalk import Crosswalk
from lattermath.science.adult_flight import points_of, settle_matrix, shaken_matrix
from lattermath.vocabulary.plot import Planting, Plot

FloatArray = NDArray[np.float64]

ROOM_PER_PLANT_M2 = 0.4  # judgement, for plantings whose bed is not drawn
# Judgement: the density at which half of the laying is lost. The peak of the tomato trial that
# lost a twentieth to sooty mould was 8.3 immature insects a square centimetre (johnson1992).
CROWDED_PER_CM2 = 8.0
# The table's doubt of 0.25 (kakimoto2007, tsaiwang1996 and luo2006, abstracts, for one whitefly);
# judgement: that it is a standard deviation on the log scale, and the same for every organism.
HOST_SD = 0.25
EIGHT_IN_TEN = 2.563  # standard deviations from the 10th to the 90th percentile
FAR_APART_M = 5.0  # judgement: plantings without a place stand this far from all others
# Judgement: leaves of a plant in high summer, and what one of them covers on one side. [cm2]
LEAVES = {
    "tomato": (30, 150.0),
    "cucumber": (30, 250.0),
    "courgette": (20, 600.0),
    "squash": (40, 400.0),
    "melon": (40, 150.0),
    "bean": (30, 120.0),
    "sweet_pepper": (60, 40.0),
    "eggplant": (25, 200.0),
    "kale": (15, 400.0),
    "brassica": (15, 500.0),
}
OTHER_LEAVES = (25, 200.0)
# Hosts whose open flowers can be looked into while they bear.
IN_FLOWER = (
    "tomato",
    "cucumber",
    "courgette",
    "squash",
    "melon",
    "bean",
    "sweet_pepper",
    "eggplant",
)
# Judgement: a plant just set out has a third of its leaves of high summer, six weeks on all.
YOUNG_LEAVES, GROWN_AFTER_DAYS = 0.33, 42.0


@dataclass(frozen=True, slots=True)
class Stand:
    """One planting as a home of the organism.

    laying : suitability, eggs that live as a share of the best host's. [0 to 1]
    doubt  : standard deviation of its logarithm.
    leaf_cm2 : one side of one leaf. [cm2]
    """

    key: str
    name: str
    crop: str
    plants: int
    laying: float
    leaves: int
    leaf_cm2: float
    area_m2: float
    points: FloatArray
    treatable: bool = True  # False on the neighbour's plot
    crowded: float = CROWDED_PER_CM2  # density at which laying is halved [insects/cm2]
    doubt: float = HOST_SD
    started: int = -10_000  # day on which it came to stand there; long ago where not known
    set_out: bool = False  # it came as plants, with what sat on them
    killed_at_c: float = -np.inf  # lowest temperature of its leaves in a night that kills it
    flowers: bool = False  # it has open flowers to look into

    @property
    def room(self) -> float:
        """Immature insects on the whole planting at which laying is halved by crowding."""
        return self.crowded * self.all_leaves * self.leaf_cm2

    @property
    def all_leaves(self) -> float:
        """Leaves of the whole planting."""
        return float(self.plants * self.leaves)

    @property
    def leaf_area_cm2(self) -> float:
        """One side of all of them. [cm2]"""
        return self.all_leaves * self.leaf_cm2

    def leaves_on(self, day: int) -> float:
        """Leaves of the whole planting on a day, fewer while the plants are young."""
        grown = (day - self.started) / GROWN_AFTER_DAYS
        return self.all_leaves * float(np.clip(YOUNG_LEAVES + grown, YOUNG_LEAVES, 1.0))


def stands_of(
    plot: Plot, life: LifeFigures, crosswalk: Crosswalk, first: date | None = None
) -> tuple[Stand, ...]:
    """Every planting of the plot on which the organism can live, the neighbour's included.

    first : the date of day 0, from which `started` is counted.
    """
    found: list[Stand] = []
    crowded = life.habits.crowded_per_cm2
    for planting in plot.plantings:
        terms = life.host(planting.crop, crosswalk)
        if planting.pulled is not None or terms is None or planting.plants < 1:
            continue
        leaves, leaf_cm2 = leaves_of(planting.crop, crosswalk)
        area, points = _ground(plot, planting, len(found))
        laying, doubt = suits(terms)
        found.append(
            Stand(
                planting.key,
                planting.name,
                planting.crop,
                planting.plants,
                laying,
                leaves,
                leaf_cm2,
                area,
                points,
                not planting.neighbours_plot,
                crowded,
                doubt,
                _started(planting, first),
                planting.set_out is not None,
                flowers=crosswalk.host(planting.crop, IN_FLOWER) is not None,
            )
        )
    return tuple(found)


def suits(terms: HostTerms) -> tuple[float, float]:
    """How well a host suits, as a share of the best, and the doubt of it, log scale.

    Where the table's word for a host and the eggs laid on it disagree (beans and whitefly by five
    times), they are taken for the 10th and the 90th percentile.
    """
    apart = float(np.log(terms.said / terms.laying))
    return float(np.sqrt(terms.said * terms.laying)), float(np.hypot(HOST_SD, apart / EIGHT_IN_TEN))


def _started(planting: Planting, first: date | None) -> int:
    if planting.started is None or first is None:
        return -10_000
    return (planting.started - first).days


def leaves_of(crop: str, crosswalk: Crosswalk) -> tuple[int, float]:
    """Leaves of a plant and what one covers on one side [cm2], by the nearest host word."""
    word = crosswalk.host(crop, LEAVES)
    return LEAVES[word] if word else OTHER_LEAVES


def _ground(plot: Plot, planting: Planting, place: int) -> tuple[float, FloatArray]:
    """Ground covered and points on it; a planting whose place is not known stands apart."""
    area = planting.plants * ROOM_PER_PLANT_M2
    side = area**0.5
    bed = plot.bed_of(planting)
    if planting.x_m is not None and planting.y_m is not None:
        return area, points_of(planting.x_m, planting.y_m, side, side)
    if bed is not None:
        east, north = bed.centre
        area = min(area, bed.area_m2)
        return area, points_of(east, north, bed.length_m, bed.width_m)
    return area, points_of(-FAR_APART_M * (place + 1), -FAR_APART_M, side, side)


def settling(stands: Sequence[Stand], flight_m: float) -> FloatArray:
    """Where adults that leave a planting settle; rows sum to 1. (n_plantings, n_plantings)"""
    points = np.stack([stand.points for stand in stands])
    area = np.array([stand.area_m2 for stand in stands])
    pull = np.array([stand.laying for stand in stands])
    return settle_matrix(points, area, pull, flight_m)


def settling_when_shaken(settle: FloatArray, to_neighbour: float) -> FloatArray:
    """Where adults put up by work settle; rows sum to 1. (n_plantings, n_plantings)"""
    return shaken_matrix(settle, to_neighbour)


def neighbours_at_risk(settle: FloatArray, place: int, least: float = 0.02) -> list[int]:
    """Other plantings that get at least this share of adults leaving one, most first."""
    order = np.argsort(-settle[place])
    return [int(p) for p in order if p != place and settle[place, p] >= least]
