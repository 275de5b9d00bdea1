"""What treating one bed and not those beside it would cost, where a course treats several."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from lattermath.planning.choices_told import portions_said
from lattermath.planning.course_task import Step, Task, losses_in_draws, work_of
from lattermath.planning.near_courses import within
from lattermath.planning.shared_treatments import LEAST_GAIN
from lattermath.vocabulary.ruling import Because

MOST_BEDS = 3  # judgement: beds asked of, those with most work
FEW = 2  # left out of treatment, these are named
WORTH_SAYING = 0.1  # portions; what comes over costs less than that without a word
MOST_TOLD = 2  # judgement: the cheapest of these; more would only repeat it


@dataclass(frozen=True, slots=True)
class OneBed:
    """A course with nothing done anywhere but in one bed. More is worse.

    places     : plantings of the bed that the course treats.
    left       : the other plantings that it treats.
    cost       : damage and work beside the whole course. [portions]
    comes_back : damage in the bed itself beside the whole course, by what comes over from the
                 others. [portions]
    """

    places: tuple[int, ...]
    left: tuple[int, ...]
    cost: float
    comes_back: float


def one_bed_only(
    task: Task, steps: Sequence[Step], beds: Sequence[str | None]
) -> tuple[OneBed, ...]:
    """What the same course would cost in one bed alone, the cheapest bed first.

    beds : bed of each planting of the belief; a planting without one is a bed of its own.

    Empty where fewer than two beds are treated.
    """
    treated = _treated(steps, beds)
    if len(treated) < 2:
        return ()
    whole = losses_in_draws(task, steps).mean(0)
    work = work_of(task, steps) - task.saved_besides(steps)
    every = tuple(sorted(place for bed in treated for place in bed))
    found = []
    for bed in treated[:MOST_BEDS]:
        only = within(steps, bed)
        more = losses_in_draws(task, only).mean(0) - whole
        less = work - work_of(task, only) + task.saved_besides(only)
        left = tuple(place for place in every if place not in bed)
        found.append(OneBed(bed, left, float(more.sum() - less), float(more[list(bed)].sum())))
    return tuple(sorted(found, key=lambda one: one.cost))


def better_than_nothing(task: Task, steps: Sequence[Step], places: Collection[int]) -> float:
    """By how much a course cut down to these plantings is better than doing nothing. [portions]"""
    some = within(steps, places)
    saved = losses_in_draws(task, ()).sum(1) - losses_in_draws(task, some).sum(1)
    return float(saved.mean()) - work_of(task, some) + task.saved_besides(some)


def one_bed_told(alone: Sequence[OneBed], names: Sequence[str]) -> Iterator[Because]:
    """The same in words: what treating one of the beds only is worse by.

    names : of each planting of the belief.
    """
    worse = [one for one in alone if one.cost >= LEAST_GAIN]
    for one in worse[:MOST_TOLD]:
        here = " and ".join(names[place] for place in one.places)
        rest = [names[place] for place in one.left]
        there = " and ".join(rest) if len(rest) <= FEW else "the others"
        says = f"treating {here} only, and not {there}: {portions_said(one.cost)} worse"
        if one.comes_back >= WORTH_SAYING:
            says += f"; what comes over from there costs {here} {portions_said(one.comes_back)}"
        yield Because(says, rests_on=("computed:courses on the same futures",))


def _treated(steps: Sequence[Step], beds: Sequence[str | None]) -> list[tuple[int, ...]]:
    """Treated plantings by bed, those with most work first."""
    uses: dict[int, int] = {}
    for step in steps:
        for place in step.places:
            uses[place] = uses.get(place, 0) + 1
    by_bed: dict[object, list[int]] = {}
    for place in sorted(uses):
        bed = beds[place]
        by_bed.setdefault(("alone", place) if bed is None else bed, []).append(place)
    busy = sorted(by_bed.values(), key=lambda places: -sum(uses[p] for p in places))
    return [tuple(places) for places in busy]
