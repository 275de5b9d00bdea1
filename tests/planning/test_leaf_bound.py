"""The bound on a course against a leaf disease, beside every course there is, run one by one.

Every allowed course of small cases is run by the belief's own days, one after another; neither the
search nor the bound has a part in that.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from tests.planning.test_leaf_disease_courses import CANDIDATES, EFFECTS, ill, task

from lattermath.belief.deposit_wear import Wear
from lattermath.belief.leaf_covers import LeafApplication
from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.belief.treatment_effect import Effect
from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.leaf_bound import bounded_leaf, or_cheaper
from lattermath.planning.leaf_disease_courses import (
    STRIPS,
    LeafTask,
    applications_of,
    damage_of_run,
    search_leaf_course,
    searched_few,
)
from lattermath.vocabulary.ruling import Because, ruling

HANDS = Candidate(
    STRIPS, STRIPS, None, "leaves", Effect(STRIPS, {}), ("top",), 0.7, 0.4,
    least_gap_days=10, most_uses=2,
)  # fmt: skip
# Inside the leaf, cover and the youngest infections undone: on draws the belief knows.
SYSTEMIC = LeafEffect(
    "sulfur", ((0.0, 0.0, 0.0),) * 2, ((0.5, 0.7, 0.9),) * 2, 6.0, Wear(), False, ("table:x",),
    moves_in=True,
)  # fmt: skip
STRIPPED = LeafEffect(
    "sulfur", ((0.2, 0.4, 0.6),) * 2, ((0.0, 0.0, 0.0),) * 2, 1.0, Wear(), False, ("table:x",)
)
MOVES = replace(CANDIDATES[1], key="moves", method="moves", product="moves", name="moves")


def spaced(visits: tuple[int, ...], days: int, alone: str):
    """A label's interval on one planting, and products that stand alone in their evening."""

    def permits(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]):
        place = ("courgettes", "cucumbers").index(planting)
        here = [s for s in so_far if place in s.places and s.candidate.product is not None]
        near = any(
            s.candidate.key == one.key and visits[visit] - visits[s.visit] < days for s in here
        )
        met = one.product is not None and alone in (one.key, *(s.candidate.key for s in here))
        met = met and any(s.visit == visit and s.candidate.key != one.key for s in here)
        return ruling([Because("free", not near and not met, "label")])

    return permits


def small(seed: int, n_visits: int, places: int) -> LeafTask:
    """A case thrown by a seed: what is on hand, when, for how much, beside what is done anyway."""
    dice = np.random.default_rng(seed)
    belief, many = ill(), places > 1
    kinds = [[CANDIDATES[2], HANDS], [CANDIDATES[0], CANDIDATES[2]], [MOVES, CANDIDATES[1]]][
        seed % 3
    ]
    days = belief.today + np.sort(dice.choice(24, n_visits, replace=False))
    anyway = ()
    if dice.random() < 0.5:
        at = int(belief.today + dice.integers(0, 20))
        anyway = (
            LeafApplication(at, EFFECTS["mineral_oil"], (int(dice.integers(2)),), (0.8, 0.5)),
        )
    visits = tuple(int(day) for day in days)
    portions = np.exp(dice.uniform(np.log(5), np.log(300), 2)) * ([1, 1] if many else [1, 0])
    asked = task(replace(belief, applied=(*belief.applied, *anyway)), portions=portions)
    pickings = dice.uniform(0, 0.5, (2, n_visits))

    def barred(steps) -> float:
        """Each evening's treatment of a planting bars one picking, once."""
        sprayed = [s for s in steps if s.candidate.product is not None]
        return float(
            sum({(p, s.visit): pickings[p, s.visit] for s in sprayed for p in s.places}.values())
        )

    return replace(
        asked,
        visits=visits,
        candidates=kinds,
        effects={**EFFECTS, STRIPS: STRIPPED, "moves": SYSTEMIC},
        permits=spaced(
            visits, int(dice.integers(3, 9)), kinds[0].key if dice.random() < 0.5 else ""
        ),
        barred=barred if dice.random() < 0.5 else None,
    )


def every_course(asked: LeafTask) -> list[tuple[tuple[Step, ...], float]]:
    """All allowed courses and what each costs, from plain runs of the belief."""
    places = [p for p in range(2) if asked.portions[p] > 0]
    slots = list(itertools.product(range(len(asked.visits)), asked.candidates))
    found = []
    for on in itertools.product((False, True), repeat=len(slots) * len(places)):
        rows = np.array(on).reshape(len(slots), len(places))
        steps = tuple(
            Step(visit, one, tuple(p for p, yes in zip(places, row, strict=True) if yes))
            for (visit, one), row in zip(slots, rows, strict=True)
            if row.any()
        )
        if not permitted(asked, steps):
            continue
        run = asked.belief.ahead(applications_of(asked, steps))
        work = 0.0
        for step in steps:
            ground = sum(asked.belief.stands[p].area_m2 for p in step.places)
            one = step.candidate
            work += (one.minutes_once + one.minutes * ground) * asked.minute_cost
            work += one.hazard * len(step.places)
        bars = 0.0 if asked.barred is None else asked.barred(steps)
        found.append((steps, damage_of_run(asked, run) + work + bars))
    return found


def made(steps: tuple[Step, ...]) -> set[tuple[int, str, tuple[int, ...]]]:
    return {(step.visit, step.candidate.key, step.places) for step in steps}


def permitted(asked: LeafTask, steps: tuple[Step, ...]) -> bool:
    """By hand: the label of this test and our own spacing, planting by planting."""
    for place in range(2):
        used: dict[str, list[int]] = {}
        for n, step in enumerate(steps):
            if place not in step.places:
                continue
            key = asked.belief.stands[place].key
            before = tuple(s for s in steps[:n] if place in s.places)
            if not asked.permits(step.candidate, step.visit, key, before).allowed:
                return False
            days = used.setdefault(step.candidate.key, [])
            day = asked.visits[step.visit]
            if days and day - days[-1] < step.candidate.least_gap_days:
                return False
            days.append(day)
            if len(days) > step.candidate.most_uses:
                return False
    return True


@pytest.mark.parametrize(
    ("seed", "n_visits", "places"),
    [*((seed, 4, 1) for seed in range(6)), *((seed, 2, 2) for seed in range(6, 12)), (4, 3, 2)],
)
def test_no_allowed_course_costs_less_than_the_bound(seed, n_visits, places) -> None:
    """And what was found is within a hundredth of the cheapest of all, or a twentieth portion."""
    few = searched_few(small(seed, n_visits, places))
    courses = every_course(few)
    best = min(cost for _, cost in courses)
    nothing = next(cost for steps, cost in courses if not steps)
    assert len(courses) > 8
    found = or_cheaper(few, search_leaf_course(few))
    bound = bounded_leaf(few, found.steps)
    assert bound.nothing == pytest.approx(nothing)
    assert bound.least <= best + 1e-9
    reached = next(cost for steps, cost in courses if made(steps) == made(found.steps))
    assert best - 1e-9 <= reached <= best + max(0.01 * (nothing - best), 0.05)
    if bound.reached - bound.least <= 0.05:
        assert bound.gap == 0.0
