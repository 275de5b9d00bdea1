"""Courses near to one: a step left out or moved by a visit, or all work on some plantings gone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from lattermath.planning.course_task import Step


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps by visit; those of one visit as they came."""
    return tuple(sorted(steps, key=lambda step: step.visit))


def without(steps: tuple[Step, ...], k: int) -> tuple[Step, ...]:
    """The course without its k-th step."""
    return (*steps[:k], *steps[k + 1 :])


def within(steps: Sequence[Step], places: Collection[int]) -> tuple[Step, ...]:
    """The course with nothing done anywhere but on these plantings."""
    return tuple(
        replace(step, places=kept)
        for step in steps
        if (kept := tuple(p for p in step.places if p in places))
    )


def without_work_on(steps: Sequence[Step], place: int) -> tuple[Step, ...]:
    """The course with nothing done on one planting."""
    return within(steps, {p for step in steps for p in step.places} - {place})


def moved(steps: tuple[Step, ...], k: int, n_visits: int) -> Iterator[tuple[Step, ...]]:
    """The course with its k-th step a visit earlier and later, where the same is not done then."""
    rest, step = without(steps, k), steps[k]
    for visit in (step.visit - 1, step.visit + 1):
        clash = any(s.visit == visit and s.candidate.key == step.candidate.key for s in rest)
        if 0 <= visit < n_visits and not clash:
            yield in_order((*rest, replace(step, visit=visit)))
