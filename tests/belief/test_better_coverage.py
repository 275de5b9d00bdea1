"""Better coverage never raises the pest: properties, over methods, days, places and organisms."""

from __future__ import annotations

import functools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.belief.cluster_cases import TABLES, TODAY, dice, plot_of, sky

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief, believe_cluster
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

CROPS = {
    "greenhouse_whitefly": "eggplant",
    "twospotted_spider_mite": "cucumber_slicing",
    "diamondback_moth": "kale",
    "colorado_potato_beetle": "potato",
}
METHODS = ("soap", "pyrethrins", "water_jet", "hand_pick", "prune_leaves")
AHEAD = 45


@functools.cache
def infested(organism: str) -> ClusterBelief:
    """Three beds of one host in a row, with 40 counted on ten leaves of the first."""
    crop = CROPS[organism]
    defaults = TABLES.constants["defaults"].figures
    life = LifeHistory(read_life(TABLES.organisms[organism], defaults, TABLES.habits[organism]))
    rows = (Planting(f"p{n}", f"P{n}", crop, 5, bed) for n, bed in enumerate("abc"))
    homes = stands_of(plot_of(*rows), life.figures, TABLES.crosswalk)
    seen = Sighting("p0", organism, "count", looked_at=10, total=40)
    read = read_sighting(seen, TODAY - 1, 0, homes, life.figures)
    assert read is not None
    return believe_cluster(life, homes, sky(), [read], (), METHODS, dice)


def applied(
    belief: ClusterBelief, method: str, coverage: float, day: int, places: tuple[int, ...]
) -> Application | None:
    targets = TABLES.crosswalk.targets.get(belief.organism, ())
    effect = effect_of(TABLES.methods[method], belief.organism, targets, belief.life.stages)
    if effect is None:
        return None
    reach = reach_of(effect, ("underside", "top"), coverage, belief.life.figures)
    if not effect.by_surface:  # hands and water: the share of the plants they come to
        reach = reach * coverage
    return Application(belief.today + day, effect, places, reach)


@settings(max_examples=40, deadline=None)
@given(
    organism=st.sampled_from(sorted(CROPS)),
    method=st.sampled_from(METHODS),
    coverages=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)).map(sorted),
    days=st.sets(st.integers(0, 20), min_size=1, max_size=3),
    places=st.sets(st.integers(0, 2), min_size=1),
)
def test_better_coverage_raises_the_pest_in_no_draw_bed_or_day(
    organism: str, method: str, coverages: list[float], days: set[int], places: set[int]
) -> None:
    """On even courses, also where only some of the beds are treated.

    All its stages together: on crowded plants the survivors lay more, and more eggs may stand on
    a bed with fewer insects.
    """
    belief = infested(organism)
    runs = []
    for coverage in coverages:
        found = [applied(belief, method, coverage, day, tuple(sorted(places))) for day in days]
        steps = [one for one in found if one is not None]
        runs.append(belief.ahead(steps, n_days=AHEAD, by_chance=False).sums.sum(3))
    worse, better = runs
    assert (better <= worse * (1 + 1e-5) + 1e-4).all()  # sums of float32


@pytest.mark.parametrize("organism", sorted(CROPS))
def test_and_it_does_lower_it_where_the_method_kills(organism: str) -> None:
    """Or the property above would hold of a spray that does nothing."""
    belief, lowered = infested(organism), 0
    for method in METHODS:
        found = [applied(belief, method, cover, 0, (0, 1, 2)) for cover in (0.3, 0.9)]
        steps = [one for one in found if one is not None]
        if steps:
            few, many = (belief.ahead([one], n_days=5).sums.sum() for one in steps)
            assert many < few
            lowered += 1
    assert lowered
