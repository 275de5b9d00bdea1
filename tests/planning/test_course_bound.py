"""The bound on a course: below every schedule there is, and below every curve it is tangent to."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from tests.belief.cluster_cases import sky, stands
from tests.planning.test_course_search import PRUNE, SOAP, heavy, task

from lattermath.planning.course_bound import Even, bounded
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Step, Task, work_of
from lattermath.planning.shared_treatments import damage_of
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
