"""Why a course leaves a planting out on which the organism was seen: what treating it too costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lattermath.planning.choices_told import portions_said
from lattermath.planning.course_task import (
    LEAST_TOLD,
    Step,
    Task,
    losses_in_draws,
    work_of,
)
from lattermath.planning.steps_allowed import allowed
from lattermath.vocabulary.ruling import Because

NO_SAVING = "here it saves no more than its work"
MAY_NOT = "here it may not be used"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One planting that a course leaves out.

    cost : of treating it too, beside the course; less than nothing where it were better. None:
           it may not be. [portions]
    bars : why it may not be.
    """

    place: int
    cost: float | None
    bars: tuple[Because, ...] = ()

    @property
    def short(self) -> str:
        """Why, in few words; "" where none holds."""
        if self.cost is None:
            return MAY_NOT
        return NO_SAVING if self.cost > -LEAST_TOLD else ""


def left_out(task: Task, steps: Sequence[Step], place: int) -> LeftOut:
    """What it would cost to do the same on one planting more: at the first step, or at each.

    A step that the rulings bar there is left as it is.
    """
    whole, ways = tuple(steps), list[tuple[Step, ...]]()
    for k, step in enumerate(steps):
        longer = (*whole[:k], replace(step, places=(*step.places, place)), *whole[k + 1 :])
        if allowed(task, longer):
            whole = longer
            ways.append(longer)
    if not ways:
        first, key = steps[0], task.belief.stands[place].key
        bars = task.permits(first.candidate, first.visit, key, ()).bars
        return LeftOut(place, None, tuple(bars))
    now = _cost(task, steps)
    return LeftOut(place, min(_cost(task, way) - now for way in (ways[0], ways[-1])))


def left_out_told(one: LeftOut, name: str) -> Iterator[Because]:
    """The same in words. name : of the planting."""
    if one.cost is None:
        for bar in one.bars[:1]:
            yield replace(bar, says=f"not on {name}: {bar.says}")
        return
    costs = f"{portions_said(one.cost)} worse" if one.cost >= 0 else (
        f"{portions_said(-one.cost)} better"
    )  # fmt: skip
    says = f"treating {name} too: {costs}"
    yield Because(says, rests_on=("computed:courses on the same futures",))


def _cost(task: Task, steps: Sequence[Step]) -> float:
    damage = float(losses_in_draws(task, steps).sum(1).mean())
    return damage + work_of(task, steps) - task.saved_besides(steps)
