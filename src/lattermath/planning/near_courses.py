"""Courses that differ from one by a single step: left out, or a visit earlier or later."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lattermath.planning.course_task import Step


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps by visit; those of one visit as they came."""
    return tuple(sorted(steps, key=lambda step: step.visit))


def without(steps: tuple[Step, ...], k: int) -> tuple[Step, ...]:
    """The course without its k-th step."""
    return (*steps[:k], *steps[k + 1 :])


def moved(steps: tuple[Step, ...], k: int, n_visits: int) -> Iterator[tuple[Step, ...]]:
    """The course with its k-th step a visit earlier and later, where the same is not done then."""
    rest, step = without(steps, k), steps[k]
    for visit in (step.visit - 1, step.visit + 1):
        clash = any(s.visit == visit and s.candidate.key == step.candidate.key for s in rest)
        if 0 <= visit < n_visits and not clash:
            yield in_order((*rest, replace(step, visit=visit)))
