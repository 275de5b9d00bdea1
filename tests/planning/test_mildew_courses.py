"""Courses against mildew: rulings kept, worth its work, and both sides of the leaf."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from tests.belief.test_mildew_clusters import MATERIALS, believe, effect, severity

from lattermath.belief.treatment_effect import Effect
from lattermath.planning.course_search import Candidate
from lattermath.planning.mildew_courses import (
    MildewTask,
    mildew_population,
    search_mildew_course,
    yield_kept_by_leaf,
)
from lattermath.vocabulary.ruling import Because, ruling

A_DAY = date(2025, 8, 5)
CANDIDATES = tuple(
    Candidate(m, m, m, m, Effect(m, {}), ("top", "underside"), 0.7, 1.5, 8.0, 0.3)
    for m in MATERIALS
)
EFFECTS = {m: effect(m) for m in MATERIALS}


def task(belief, permits=lambda *_: ruling([Because("free")]), portions=(60.0, 40.0)) -> MildewTask:
    visits = tuple(range(belief.today, belief.today + 28, 3))
    return MildewTask(belief, visits, CANDIDATES, EFFECTS, permits, np.array(portions), 0.5, 4 / 60)


def ill():
    return believe([(46, severity(3.0, "whole")), (49, severity(5.0, "whole"))])


def test_a_course_is_found_and_beats_nothing() -> None:
    found = search_mildew_course(task(ill()))
    assert found.steps and found.cost < found.cost_of_nothing
    gaps = np.diff([found.steps[0].visit, *[s.visit for s in found.steps[1:]]]) * 3
    assert all(gap >= 5 for gap in gaps)
    assert found.with_it[:, 0, 21].mean() < found.without[:, 0, 21].mean()


def test_what_is_forbidden_is_not_planned_and_the_reason_is_told() -> None:
    def no_sulfur(one, visit, planting, so_far):
        return ruling([Because("oil within 14 days", one.key != "sulfur", "our caution")])

    found = search_mildew_course(task(ill(), no_sulfur))
    assert all(step.candidate.key != "sulfur" for step in found.steps)
    assert [bar.says for bar in found.refused] == ["oil within 14 days"]


def test_nothing_is_done_where_nothing_is_left_to_pick() -> None:
    found = search_mildew_course(task(ill(), portions=(0.5, 0.0)))
    assert found.steps == () and found.cost == found.cost_of_nothing


def test_the_population_of_a_sheet() -> None:
    belief = ill()
    found = search_mildew_course(task(belief))
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    population = mildew_population(belief, found, visits, A_DAY, "powdery mildew")
    assert [strip.name for strip in population.strips] == ["tops", "undersides"]
    assert population.strips[0].unit == "% of the leaf"
    assert "does not end it" in population.course_says
    assert 0 < population.left_on_last_day.median <= 1.0
    kept = yield_kept_by_leaf(found.without, 0, 0.5)
    assert kept.shape[0] == belief.n_draws and np.all((kept > 0.4) & (kept <= 1))
