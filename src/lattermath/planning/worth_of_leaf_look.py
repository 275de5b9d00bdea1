"""What a look at the leaves of each planting is worth beside the course against a leaf disease.

As for insects (worth_of_look): the choices are run on the same draws, the severity that would be
said has a chance in each draw, and the worth is the fall of the least expected cost. Choices are
the course found, nothing, and for the planting looked at the course without its treatments there,
and with a series of each material there from the first visit or from the second.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.coming_leaf_look import UP_TO, found_from, leaf_look_chances
from lattermath.planning.course_task import Step
from lattermath.planning.leaf_disease_courses import (
    LeafFound,
    LeafTask,
    damage_in_draws,
    one_series,
    work_of_series,
)
from lattermath.planning.near_courses import without_work_on
from lattermath.planning.steps_allowed import allowed
from lattermath.planning.ten_leaves import LEAVES
from lattermath.planning.worth_of_look import (
    LEAST_CHANGE,
    LookWorth,
    first_visit_on,
    turn_of,
    with_more,
)
from lattermath.science.value_of_looking import SampleWorth, worth_of_sample

FloatArray = NDArray[np.float64]
Course = tuple[Step, ...]

GAP_D = 7  # judgement: the usual interval, which is what a grower who has just looked begins with
LENGTHS = (1, 2, 4)  # treatments in a series that is weighed


def leaf_looks_worth(
    task: LeafTask, found: LeafFound, places: Sequence[int]
) -> dict[int, LookWorth]:
    """Worth of a look at each of these places at the first visit; rulings hold for every choice."""
    known: dict[Course, FloatArray] = {}
    worths = {}
    for place in places if task.visits else ():
        choices = list(dict.fromkeys([found.steps, (), *_here(task, found.steps, place)]))
        for steps in choices:
            if steps not in known:
                work = work_of_series(task, steps) + task.lost_picks(steps)
                known[steps] = damage_in_draws(task, task.run(steps)) + work
        costs = np.stack([known[steps] for steps in choices], axis=1)
        day = task.visits[0] - task.belief.today
        there = found.without[:, place, day].mean(-1)
        sample = worth_of_sample(costs, leaf_look_chances(there, LEAVES))
        worths[place] = _told(task, sample, choices, place)
    return worths


def ten_leaves_of_a_disease() -> str:
    """What ten leaves can tell of a leaf disease."""
    return (
        f"enough to find it from about {found_from(LEAVES):.1f} % of the leaf on, "
        "not to say clear below that"
    )


def _here(task: LeafTask, course: Course, place: int) -> Iterator[Course]:
    """The course with other work on one planting: none, or a series from the first visits on."""
    without = without_work_on(course, place)
    yield without
    if not task.belief.stands[place].treatable:
        return
    for candidate in task.candidates:
        for start in range(min(2, len(task.visits))):
            series = one_series(task, candidate, start, GAP_D, [place], [])
            for uses in LENGTHS:
                longer = without
                for step in series[:uses]:
                    longer = with_more(longer, step)
                if uses <= len(series) and allowed(task, longer):
                    yield longer


def _told(task: LeafTask, sample: SampleWorth, choices: Sequence[Course], place: int) -> LookWorth:
    """The worth in minutes, and the severity from which the grower would turn."""
    minutes = sample.worth / task.minute_cost if task.minute_cost > 0 else 0.0
    if sample.would_change < LEAST_CHANGE:
        return LookWorth(0.0, sample.would_change)
    turn = turn_of([first_visit_on(choices[n], place) for n in sample.after])
    if turn is None:
        return LookWorth(minutes, sample.would_change)
    at, above, below = turn
    severity = 0.0 if at == 1 else UP_TO[at - 2]
    return LookWorth(minutes, sample.would_change, None, above, below, severity)
