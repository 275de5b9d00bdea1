"""Going on after the weeks searched, held against courses searched to the end of the season."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY, believe, scales, sky, stands
from tests.planning.test_course_search import APPETITE, PRUNE, SOAP, freely

from lattermath.belief.cluster_plantings import Stand
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Candidate, Found, Step, Task, application, work_of
from lattermath.planning.going_on import GoingOn, Round, going_on, uses_left
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.plot import Planting

AHEAD, PICKED = 105, 45  # days ahead of today, and days over which it is picked
WEEKS = (0, 7, 14, 21, 28)
CUCUMBERS = Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a")
AUBERGINES = Planting("aubergines", "Aubergines", "eggplant", 5, "b")


class Case(NamedTuple):
    """Scales counted on ten leaves, mean of the air, first day of picking, and what is to come."""

    scales: int
    mean: float
    begins: int
    portions: float
    both: bool = False


def any_day(
    one: Candidate, day: int, place: int, steps: tuple[Step, ...], rounds: tuple[Round, ...]
) -> bool:
    return True


def asked(case: Case, days: tuple[int, ...] = WEEKS) -> Task:
    homes: tuple[Stand, ...] = stands(CUCUMBERS, AUBERGINES) if case.both else stands(CUCUMBERS)
    weather = sky(case.mean, days=TODAY + AHEAD)
    belief = believe([(45, scales("cucumbers", case.scales))], weather=weather, homes=homes)
    bearing = np.zeros(belief.cycle.n_days - belief.today)
    bearing[case.begins : case.begins + PICKED] = case.portions / PICKED
    stakes = Stakes.of(homes, APPETITE, np.stack([bearing] * len(homes)), 70.0)
    visits = tuple(belief.today + day for day in days)
    return Task(belief, visits, (SOAP, PRUNE), freely, stakes, 4 / 60)


def to_the_end(case: Case) -> tuple[int, ...]:
    return tuple(range(0, case.begins + PICKED, 7))


@cache
def season_long(case: Case) -> Found:
    return search_course(asked(case, to_the_end(case)))


def carried(task: Task, later: GoingOn | None) -> Task:
    if later is None:
        return task
    applied = (*task.belief.applied, *later.applications(task))
    return replace(task, belief=replace(task.belief, applied=applied))


def completed(case: Case, steps: tuple[Step, ...]) -> float:
    """What a course of these weeks comes to, if the best is done after them."""
    task = asked(case)
    planned = [application(step, task.visits[step.visit], task.belief) for step in steps]
    rest = asked(case, tuple(day for day in to_the_end(case) if day > WEEKS[-1]))
    belief = replace(rest.belief, applied=(*rest.belief.applied, *planned))
    return search_course(replace(rest, belief=belief)).cost + work_of(task, steps)


HEAVY = (Case(90, 24.0, 55, 300.0), Case(120, 24.0, 55, 300.0))
BOTH = Case(10, 24.0, 55, 300.0, both=True)


@pytest.mark.parametrize("case", HEAVY)
def test_what_bears_later_is_told_as_a_search_to_the_end_of_the_season_tells_it(case) -> None:
    """Without going on it is told as losing half as much again, and more."""
    task, best = asked(case), season_long(case)
    later = going_on(task, range(len(task.belief.stands)), any_day)
    assert later is not None
    told = search_course(carried(task, later)).cost + work_of(task, later.steps)
    alone = search_course(task).cost
    assert alone > 1.4 * best.cost
    assert abs(told - best.cost) < 0.2 * best.cost


@pytest.mark.parametrize(
    "case", [*HEAVY, BOTH, Case(90, 20.0, 35, 300.0), Case(10, 24.0, 35, 60.0)]
)
def test_the_weeks_searched_are_as_good_a_beginning(case) -> None:
    """Whatever is reckoned after them, what is done in these weeks is a beginning of a course
    within a twentieth of what a search to the end finds for the whole of the season."""
    task = asked(case)
    later = going_on(task, range(len(task.belief.stands)), any_day)
    found = search_course(carried(task, later))
    best = season_long(case)
    spared = best.cost_of_nothing - best.cost
    assert best.cost_of_nothing - completed(case, found.steps) > 0.95 * spared


def test_nothing_is_gone_on_with_where_all_is_picked_by_then() -> None:
    soon = asked(Case(90, 24.0, 0, 300.0))
    bearing = soon.stakes.bearing.copy()
    bearing[:, 20:] = 0.0
    task = replace(soon, stakes=replace(soon.stakes, bearing=bearing))
    assert going_on(task, (0,), any_day) is None


def test_nothing_is_gone_on_with_that_may_not_be_used() -> None:
    task = asked(HEAVY[0])
    assert going_on(task, (0,), lambda *_: False) is None
    assert going_on(task, (), any_day) is None


def test_rounds_are_ruled_behind_what_comes_before_them() -> None:
    """A label that allows six in all, course and rounds together, is never passed by both."""
    case = HEAVY[0]

    def six(one, day, place, steps, rounds) -> bool:
        return len(steps) + len(rounds) < 6

    task = asked(case)
    later = going_on(replace(task, candidates=(SOAP,)), (0,), six)
    assert later is not None
    assert 1 <= len(later.rounds) <= 3
    assert all(day > task.visits[-1] for day, _ in later.rounds)
    assert later.without((0,)) is None
    assert later.times(0) == len(later.rounds)


@pytest.mark.parametrize(("most", "before", "left"), [(6, 0, 3), (6, 2, 1), (3, 0, 0), (9, 0, 5)])
def test_a_course_has_left_what_the_rulings_leave_beside_the_rounds(
    most: int, before: int, left: int
) -> None:
    """Three rounds follow. What another product of the same active took of the maximum counts."""
    task = asked(Case(90, 20.0, 55, 600.0))
    first = task.visits[-1]
    later = GoingOn(SOAP, tuple((first + 7 * n, (0,)) for n in (1, 2, 3)))

    def by_active(
        one: Candidate, day: int, place: int, steps: tuple[Step, ...], rounds: tuple[Round, ...]
    ) -> bool:
        return before + len(steps) + len(rounds) + 1 <= most

    assert uses_left(task, later, by_active) == min(left, len(WEEKS))
