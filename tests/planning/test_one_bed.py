"""What treating one bed and not its neighbour costs, against plain runs and where nobody flies."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import stands
from tests.planning.test_course_search import SOAP, cost_of, heavy, task

from lattermath.planning.course_task import Step
from lattermath.planning.near_courses import within
from lattermath.planning.one_bed import one_bed_only, one_bed_told

BEDS = ("a", "b", "c")
STEPS = tuple(Step(visit, SOAP, (0, 1, 2)) for visit in (0, 2, 4))


def kept_apart(belief):
    """The same plot with nobody moving between plantings."""
    stay = np.eye(len(belief.stands), dtype=belief.setting.settle.dtype)
    return replace(belief, setting=replace(belief.setting, settle=stay, settle_shaken=stay))


def test_it_is_what_plain_runs_of_both_courses_cost() -> None:
    asked = task(heavy())
    found = one_bed_only(asked, STEPS, BEDS)
    assert {one.places for one in found} == {(0,), (1,), (2,)}
    assert [one.cost for one in found] == sorted(one.cost for one in found)
    for one in found:
        only = within(STEPS, one.places)
        plain = cost_of(asked, only) - cost_of(asked, STEPS)
        assert one.cost == pytest.approx(plain, rel=1e-6)
        assert set(one.left) == {0, 1, 2} - set(one.places)


def test_what_comes_over_costs_the_treated_bed_and_nothing_where_nobody_moves() -> None:
    flying, still = (task(one) for one in (heavy(), kept_apart(heavy())))
    over = {one.places: one.comes_back for one in one_bed_only(flying, STEPS, BEDS)}
    none = {one.places: one.comes_back for one in one_bed_only(still, STEPS, BEDS)}
    assert max(over.values()) > 0.1
    assert list(none.values()) == pytest.approx([0.0] * 3, abs=1e-9)


def test_plantings_of_one_bed_are_one_and_a_single_bed_is_told_nothing() -> None:
    asked = task(heavy())
    assert {one.places for one in one_bed_only(asked, STEPS, ("a", "a", "c"))} == {(0, 1), (2,)}
    assert one_bed_only(asked, STEPS, ("a", "a", "a")) == ()
    assert one_bed_only(asked, (), BEDS) == ()
    assert len(one_bed_only(asked, STEPS, (None, None, None))) == 3


def test_it_is_said_by_name_with_what_comes_over() -> None:
    names = [stand.name for stand in stands()]
    told = list(one_bed_told(one_bed_only(task(heavy()), STEPS, BEDS), names))
    assert 1 <= len(told) <= 2
    assert all(" only, and not " in one.says and " worse" in one.says for one in told)
    assert all(sum(name in one.says for name in names) == 3 for one in told)
