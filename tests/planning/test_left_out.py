"""What treating a planting costs that a course leaves out, against plain runs of both."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.planning.test_course_search import SOAP, cost_of, freely, heavy, task

from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.left_out import MAY_NOT, NO_SAVING, left_out, left_out_told
from lattermath.vocabulary.ruling import Because, Ruling, ruling

STEPS = (Step(0, SOAP, (0,)), Step(3, SOAP, (0,)))


@pytest.mark.parametrize("portions", [1.0, 30.0, 3000.0])
def test_it_is_the_cheaper_of_the_first_step_and_of_all_in_plain_runs(portions: float) -> None:
    asked = task(heavy(), portions=portions)
    one = left_out(asked, STEPS, 1)
    first = (replace(STEPS[0], places=(0, 1)), STEPS[1])
    every = tuple(replace(step, places=(0, 1)) for step in STEPS)
    plain = min(cost_of(asked, first), cost_of(asked, every)) - cost_of(asked, STEPS)
    assert one.cost == pytest.approx(plain, rel=1e-6, abs=1e-9)
    (told,) = left_out_told(one, "aubergines")
    worse = plain >= 0
    assert told.says.startswith("treating aubergines too: ")
    assert told.says.endswith("worse" if worse else "better")
    assert one.short == (NO_SAVING if plain > -0.095 else "")


def test_where_little_is_to_come_it_saves_less_than_its_work_and_where_much_is_it_pays() -> None:
    little, much = (left_out(task(heavy(), portions=n), STEPS, 1).cost for n in (1.0, 3000.0))
    assert little is not None and much is not None
    assert little > 0 > much


def test_what_may_not_be_used_there_says_why() -> None:
    def none_there(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]) -> Ruling:
        if planting == "aubergines":
            return ruling([Because("its label does not list aubergines", holds=False)])
        return freely(one, visit, planting, so_far)

    one = left_out(task(heavy(), permits=none_there), STEPS, 1)
    assert one.cost is None and one.short == MAY_NOT
    (told,) = left_out_told(one, "aubergines")
    assert told.says == "not on aubergines: its label does not list aubergines"


def test_a_step_that_is_barred_there_is_left_as_it_is() -> None:
    def not_tonight(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]) -> Ruling:
        if planting == "aubergines" and visit == 0:
            return ruling([Because("too warm tonight", holds=False)])
        return freely(one, visit, planting, so_far)

    asked = task(heavy(), permits=not_tonight)
    later = (STEPS[0], replace(STEPS[1], places=(0, 1)))
    plain = cost_of(asked, later) - cost_of(asked, STEPS)
    assert left_out(asked, STEPS, 1).cost == pytest.approx(plain, rel=1e-6, abs=1e-9)
