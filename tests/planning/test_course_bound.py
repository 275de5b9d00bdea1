"""The bound on a course: below every schedule there is, and below every curve it is tangent to."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from tests.belief.cluster_cases import sky, stands
from tests.planning.test_course_search import PRUNE, SOAP, heavy, task
from tests.planning.test_stakes import BEARING, BITES, COUNTS

from lattermath.planning.course_bound import Even, bounded
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Step, Task, work_of
from lattermath.planning.shared_treatments import damage_of
from lattermath.planning.stakes import Stakes
from lattermath.planning.steps_allowed import allowed
from lattermath.vocabulary.plot import Planting

ALONE = (Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),)
TWO = (*ALONE, Planting("more", "More", "cucumber_slicing", 4, "a"))


def case(mean: float, portions: float, homes: tuple[Planting, ...], n: int) -> Task:
    belief = heavy(sky(mean), stands(*homes))
    return task(belief, n=n, gap=5, portions=portions)


@pytest.mark.parametrize(
    ("mean", "portions", "homes", "n"),
    [(18.0, 600.0, ALONE, 3), (24.0, 60.0, ALONE, 3), (24.0, 600.0, TWO, 2)],
)
def test_no_schedule_costs_less_than_the_bound(mean, portions, homes, n) -> None:
    asked = case(mean, portions, homes, n)
    slots = list(itertools.product(range(n), (SOAP, PRUNE), range(len(homes))))
    costs = []
    for chosen in itertools.product((False, True), repeat=len(slots)):
        steps = tuple(Step(v, c, (p,)) for (v, c, p), on in zip(slots, chosen, strict=True) if on)
        costs.append(damage_of(asked, steps) + work_of(asked, steps))
    found = search_course(asked)
    bound = bounded(asked, found.steps, 6)
    assert bound.least <= min(costs) + 1e-6
    assert bound.reached <= min(costs) + max(0.01 * (bound.nothing - min(costs)), 0.05)
    assert bound.least >= min(costs) - 0.35 * (bound.nothing - min(costs)) - 0.2
    assert found.gap is not None and 0.0 <= found.gap <= 1.0


@pytest.mark.parametrize(("homes", "n"), [(ALONE, 3), (TWO, 2)])
def test_without_crowding_the_bound_meets_the_cheapest_schedule(homes, n) -> None:
    """Much to lose, all of it lost where nothing is done: what is left of the bound's gap when
    plants have room is what a chord and the program leave, a hundredth of what can be saved."""
    asked = case(24.0, 600.0, homes, n)
    roomy = replace(asked.belief.setting, room=np.zeros(0))
    asked = replace(asked, belief=replace(asked.belief, setting=roomy))
    slots = list(itertools.product(range(n), (SOAP, PRUNE), range(len(homes))))
    costs = []
    for chosen in itertools.product((False, True), repeat=len(slots)):
        steps = tuple(Step(v, c, (p,)) for (v, c, p), on in zip(slots, chosen, strict=True) if on)
        costs.append(damage_of(asked, steps) + work_of(asked, steps))
    bound = bounded(asked, search_course(asked).steps)
    assert min(costs) - 0.01 * (costs[0] - min(costs)) <= bound.least <= min(costs) + 1e-6


@given(COUNTS, BEARING, st.data())
@settings(max_examples=60, deadline=None)
def test_a_chord_never_lies_above_what_is_lost(counts, bearing, data) -> None:
    """At insects anywhere between both ends; at the ends it is what is lost."""
    stakes = Stakes(BITES, bearing)
    shares = arrays(np.float64, (2, *counts.shape), elements=st.floats(0, 1))
    low, along = data.draw(shares)
    least = counts * low
    between = least + (counts - least) * along
    prices, beside = stakes.chords(counts, least)
    told = [(prices * some).sum((1, 2, 3)) + beside for some in (least, between, counts)]
    lost = [stakes.lost(some).sum(1) for some in (least, between, counts)]
    assert told[0] == pytest.approx(lost[0], rel=1e-6, abs=1e-6)
    assert np.all(told[1] <= lost[1] * (1 + 1e-9) + 1e-6)
    assert told[2] == pytest.approx(lost[2], rel=1e-6, abs=1e-6)


def test_our_own_spacing_holds_on_each_planting_by_itself() -> None:
    """Stripping ten days apart and twice at most: on the other planting it may follow at once."""
    strip = replace(PRUNE, least_gap_days=10, most_uses=2)
    asked = replace(case(24.0, 600.0, TWO, 6), candidates=(strip,))  # a visit every five days

    def may(*uses: tuple[int, int]) -> bool:
        return allowed(asked, [Step(visit, strip, (place,)) for visit, place in uses])

    assert may((0, 0), (1, 1), (2, 0), (3, 1))
    assert not may((0, 0), (1, 0))
    assert not may((0, 0), (2, 0), (4, 0))
    assert not allowed(asked, [Step(0, strip, (0, 1)), Step(1, strip, (1,))])
    found = bounded(asked, ()).best[0]
    assert found and allowed(asked, found)


def test_damage_lies_above_its_tangents() -> None:
    even = Even.of(case(24.0, 600.0, TWO, 3))
    rng = np.random.default_rng(5)
    sets = [frozenset(np.flatnonzero(rng.random(len(even.choices)) < 0.4)) for _ in range(8)]
    told = [even.tangent(one) for one in sets]
    for (height, slopes), here in zip(told, sets, strict=True):
        for (other, _), there in zip(told, sets, strict=True):
            line = height + slopes[sorted(there - here)].sum() - slopes[sorted(here - there)].sum()
            assert other >= line - 1e-6 * abs(height)


def test_the_slope_is_that_of_the_curve() -> None:
    """Between a tangent at both ends: what one treatment more takes lies between its slopes."""
    even = Even.of(case(24.0, 600.0, ALONE, 3))
    base = frozenset({0})
    for n in range(1, len(even.choices)):
        low, slopes = even.tangent(base)
        after, then = even.tangent(base | {n})
        assert slopes[n] - 1e-9 <= after - low <= then[n] + 1e-9
        assert slopes[n] < 0
