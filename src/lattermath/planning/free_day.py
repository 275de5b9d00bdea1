"""On which day a treatment would do most if neither label interval nor visiting days held it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lattermath.planning.choices_told import portions_said
from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.shared_treatments import LEAST_GAIN
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because

MOST_STEPS = 2  # judgement: the treatments that are next
AROUND_DAYS = 4  # judgement: of a hatch, which a treatment can miss by as much
SURE = 2.0  # standard errors over the common draws
Intervals = Callable[[Candidate, int], float | None]
FloatArray = NDArray[np.float64]
Damages = Callable[[Sequence[int], Sequence[Step]], FloatArray]


class Named(Protocol):
    """A planting as a belief knows it."""

    @property
    def name(self) -> str:
        """Name of the planting."""


class Act(Protocol):
    """What a treatment is of."""

    @property
    def method(self) -> str:
        """Key of the method."""


class Done(Protocol):
    """A treatment that was made."""

    @property
    def day(self) -> int:
        """Its day."""

    @property
    def effect(self) -> Act:
        """What it is of."""

    @property
    def places(self) -> tuple[int, ...]:
        """Where."""


class Believed(Protocol):
    """What is believed of an insect or a leaf disease."""

    @property
    def today(self) -> int:
        """Today."""

    @property
    def stands(self) -> Sequence[Named]:
        """The plantings."""

    @property
    def applied(self) -> Sequence[Done]:
        """What was done, and is done anyway."""


class Waiting(Protocol):
    """A search as it was asked: of insects or of a leaf disease."""

    @property
    def belief(self) -> Believed:
        """What is believed."""

    @property
    def visits(self) -> Sequence[int]:
        """Days of the coming visits, counted as the belief counts."""


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


def free_days(
    task: Waiting, steps: Sequence[Step], interval: Intervals, damages: Damages
) -> tuple[FreeDay, ...]:
    """The treatments of a course that a label's interval or a visit holds off their day, priced.

    Runs the same course with one step on another day, on the draws that are searched; days on
    which there is a visit and no interval bars are not asked: the search weighed them.

    interval : days that a label wants between two uses of a candidate on a place; None: unknown.
    damages  : of steps at visits on these days, in the draws that are searched. [portions]
    """
    order = sorted(range(len(steps)), key=lambda n: steps[n].visit)
    products = [n for n in order if steps[n].candidate.product is not None][:MOST_STEPS]
    now = damages(task.visits, steps) if products else np.zeros(0)
    found = []
    for n in products:
        best: FreeDay | None = None
        for day, gap in _held(task, steps, n, interval):
            # As if there were a visit that day.
            moved = (*steps[:n], replace(steps[n], visit=len(task.visits)), *steps[n + 1 :])
            saved = now - damages((*task.visits, day), moved)
            error = float(saved.std()) / float(np.sqrt(saved.size))
            mean = float(saved.mean())
            if mean >= LEAST_GAIN and mean > SURE * error and (best is None or mean > best.saved):
                best = FreeDay(n, day, mean, gap)
        found += [] if best is None else [best]
    return tuple(found)


def free_day_told(one: FreeDay, task: Waiting, step: Step, today: date) -> Because:
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
    task: Waiting, steps: Sequence[Step], n: int, interval: Intervals
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


def _uses_beside(task: Waiting, steps: Sequence[Step], n: int) -> tuple[list[int], list[int]]:
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
