"""How far a course against mildew may be from the best, by the rulings of a real plot.

Real weather of Champion, invented plants and labels. Every way of using oil and a fungicide at the
first visits is ruled on with all its other treatments as given, and run by the belief's own days.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.desk.test_pests_together import OIL, OTHER, both, legal

from lattermath.desk.leaf_disease_course import LeafSearched, search_leaf
from lattermath.desk.leaf_disease_work import leaf_part
from lattermath.desk.leaf_gap import leaf_gap
from lattermath.desk.pests_together import Joint
from lattermath.planning.course_task import Step
from lattermath.planning.leaf_bound import bounded_leaf
from lattermath.planning.leaf_disease_courses import (
    applications_of,
    damage_of_run,
    searched_few,
    work_of_series,
)

VISITS = 4  # all ways of two things at each: 256


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("leaf"))


def cheapest(searched: LeafSearched, permits) -> float:
    """The least cost of all ways that are allowed, on the draws that are searched."""
    case, few = searched.case, searched_few(searched.task)
    by_method = {one.method: one for one in few.candidates}
    costs = []
    for uses in itertools.product(((), (OIL,), (OTHER,), (OIL, OTHER)), repeat=VISITS):
        steps = tuple(Step(v, by_method[m], (0,)) for v, these in enumerate(uses) for m in these)
        tried = replace(searched, found=replace(searched.found, steps=steps))
        if not legal(Joint((), (tried,)), permits):
            continue
        run = few.belief.ahead(applications_of(few, steps))
        bars = 0.0 if case.rulings.barred is None else case.rulings.barred(steps)
        costs.append(damage_of_run(few, run) + work_of_series(few, steps) + bars)
    return float(np.min(costs))


@pytest.mark.parametrize(
    ("hour", "percent", "most", "wait"), [(0.2, 8.0, 6, 0), (0.5, 20.0, 2, 0), (0.1, 12.0, 6, 3)]
)
def test_the_bound_is_below_every_way_the_rulings_allow(empty, hour, percent, most, wait) -> None:
    _, case, permits = both(empty, hour, 100, percent, most, wait)
    case = replace(case, task=replace(case.task, visits=case.task.visits[:VISITS]))
    searched = search_leaf(case, ())
    best, few = cheapest(searched, permits), searched_few(searched.task)
    bound = bounded_leaf(few, searched.found.steps)
    saving = bound.nothing - best
    assert saving > 0.05  # else there is nothing to find
    assert bound.least <= best + 1e-9
    assert best - 1e-9 <= bound.reached <= best + max(0.01 * saving, 0.05)
    assert leaf_gap(searched) == pytest.approx(bound.gap)


def test_the_gap_is_told_where_that_of_insects_is(empty) -> None:
    """In the plan, and with the reasons, through the same words."""
    _, case, _ = both(empty, 0.2, 100, 8.0)
    searched = search_leaf(case, ())
    population = leaf_part(searched).tell().population
    assert searched.found.steps and population.gap == leaf_gap(searched)
    most = max(round(100 * population.gap), 1)
    (told,) = (one for one in population.because if "it misses at most" in one.says)
    assert told.says == f"of what any allowed course could save it misses at most {most} %"
    assert told.rests_on == ("computed:bound by branch and bound on the same futures",)
