"""Whether all of a course is allowed, each step beside the rest: of insects or a leaf disease."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from lattermath.planning.course_task import Permits, Step


class Keyed(Protocol):
    """A planting as a belief knows it."""

    @property
    def key(self) -> str:
        """Key of the planting."""


class Placed(Protocol):
    """What is believed of plantings in an order of its own."""

    @property
    def stands(self) -> Sequence[Keyed]:
        """The plantings, in that order."""


class Ruled(Protocol):
    """A search with its rulings; see `course_task.Task`."""

    @property
    def belief(self) -> Placed:
        """Where the places of a step stand."""

    @property
    def visits(self) -> Sequence[int]:
        """Days of the coming visits."""

    @property
    def permits(self) -> Permits:
        """The rulings."""

    @property
    def taken(self) -> frozenset[tuple[str, int, int]]:
        """Candidate, visit and place that are done anyway."""


def allowed(task: Ruled, steps: Sequence[Step]) -> bool:
    """Do the rulings, and our own spacing, allow each step beside those before and with it?"""
    for step in steps:
        earlier = tuple(s for s in steps if s.visit <= step.visit and s is not step)
        if _too_often(task, step, steps):
            return False
        for n, place in enumerate(step.places):
            if (step.candidate.key, step.visit, place) in task.taken:
                return False
            key = task.belief.stands[place].key
            before = (*earlier, replace(step, places=step.places[:n])) if n else earlier
            if not task.permits(step.candidate, step.visit, key, before).allowed:
                return False
    return True


def _too_often(task: Ruled, step: Step, steps: Sequence[Step]) -> bool:
    """Our own spacing and number of uses, on each planting by itself."""
    used = [s for s in steps if s is not step and s.candidate.key == step.candidate.key]
    for place in step.places:
        here = [s for s in used if place in s.places]
        gaps = [abs(task.visits[s.visit] - task.visits[step.visit]) for s in here]
        if any(gap < step.candidate.least_gap_days for gap in gaps):
            return True
        if len(here) >= step.candidate.most_uses:
            return True
    return False
