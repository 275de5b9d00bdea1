"""On which day a treatment would do most if neither label interval nor visiting days held it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from lattermath.planning.choices_told import portions_said
from lattermath.planning.course_task import Candidate, Step, Task
from lattermath.planning.shared_treatments import LEAST_GAIN, damages_of
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because

MOST_STEPS = 2  # judgement: the treatments that are next
AROUND_DAYS = 4  # judgement: of a hatch, which a treatment can miss by as much
SURE = 2.0  # standard errors over the common draws
Intervals = Callable[[Candidate, int], float | None]


@dataclass(frozen=True, slots=True)
class FreeDay:
    """One treatment of a course, and the day on which it would do most.

    place    : in the steps of the course.
    day      : counted as in the task.
    saved    : damage that it would save there beside its own day. [portions]
    interval : of the label, where that bars the day; None: there is no visit. [d]
    """

    place: int
    day: int
    saved: float
    interval: float | None


def free_days(task: Task, steps: Sequence[Step], interval: Intervals) -> tuple[FreeDay, ...]:
    """The treatments of a course that a label's interval or a visit holds off their day, priced.

    Runs the same course with one step on another day, on the draws that are searched; days on
    which there is a visit and no interval bars are not asked: the search weighed them.

    interval : days that a label wants between two uses of a candidate on a place; None: unknown.
    """
    order = sorted(range(len(steps)), key=lambda n: steps[n].visit)
    products = [n for n in order if steps[n].candidate.product is not None][:MOST_STEPS]
    now = damages_of(task, steps) if products else np.zeros(0)
    found = []
    for n in products:
        best: FreeDay | None = None
        for day, gap in _held(task, steps, n, interval):
            saved = now - damages_of(*_moved(task, steps, n, day))
            error = float(saved.std()) / float(np.sqrt(saved.size))
            mean = float(saved.mean())
            if mean >= LEAST_GAIN and mean > SURE * error and (best is None or mean > best.saved):
                best = FreeDay(n, day, mean, gap)
        found += [] if best is None else [best]
    return tuple(found)


def free_day_told(one: FreeDay, task: Task, step: Step, today: date) -> Because:
    """The same in words: which day gives, to which, and what that costs roughly."""
    best, own = (
        said(today + timedelta(days=day - task.belief.today))
        for day in (one.day, task.visits[step.visit])
    )
    where = " and ".join(task.belief.stands[place].name for place in step.places)
    why = "there is no visit then"
    if one.interval is not None:
        why = f"the label wants {counted(one.interval, 'days')} between two uses"
    says = (
        f"{step.candidate.name} on {where} would do most on {best}, but {why}: the day gives, it "
        f"goes on {own}, and that costs {portions_said(one.saved)}"
    )
    rests = ("rule:retreat_and_maximum",) if one.interval is not None else ("plot:visiting",)
    return Because(says, rests_on=(*rests, "computed:courses on the same futures"))


def _held(
    task: Task, steps: Sequence[Step], n: int, interval: Intervals
) -> Iterator[tuple[int, float | None]]:
    """Days about it on which the step cannot be, each with the interval that bars it or None."""
    step, visits = steps[n], task.visits
    own = visits[step.visit]
    gaps = [gap for place in step.places if (gap := interval(step.candidate, place)) is not None]
    longest = max(gaps, default=None)
    before, after = _uses_beside(task, steps, n)
    for day in range(max(task.belief.today, own - AROUND_DAYS), own + AROUND_DAYS + 1):
        if day == own or (before and day <= max(before)):
            continue
        # Put off so far that the next use would have to move too, it is another course.
        if day > own and (day >= visits[-1] or any(u - day < (longest or 1.0) for u in after)):
            continue
        if longest is not None and any(day - used < longest for used in before):
            yield day, longest
        elif day not in visits:
            yield day, None


def _uses_beside(task: Task, steps: Sequence[Step], n: int) -> tuple[list[int], list[int]]:
    """Days before and after it on which its product goes on one of its plantings too."""
    step, own = steps[n], task.visits[steps[n].visit]
    days = [
        task.visits[other.visit]
        for m, other in enumerate(steps)
        if m != n
        and other.candidate.product == step.candidate.product
        and set(other.places) & set(step.places)
    ]
    done = [
        one.day
        for one in task.belief.applied
        if one.effect.method == step.candidate.method and set(one.places) & set(step.places)
    ]
    return [*done, *(day for day in days if day < own)], [day for day in days if day > own]


def _moved(task: Task, steps: Sequence[Step], n: int, day: int) -> tuple[Task, tuple[Step, ...]]:
    """The course with one step on any day, as if there were a visit."""
    moved = replace(steps[n], visit=len(task.visits))
    return replace(task, visits=(*task.visits, day)), (*steps[:n], moved, *steps[n + 1 :])
