"""A course that changed after its search, or what is done beside it: priced as it stands now."""

from __future__ import annotations

from dataclasses import replace

from lattermath.planning.course_bound import bounded
from lattermath.planning.course_task import Found, Task, alternatives, cost_in_draws
from lattermath.planning.steps_allowed import allowed


def repriced(task: Task, found: Found) -> Found:
    """The same course with its cost, that of nothing and of what was weighed beside it, as of now.

    What may no longer be done beside the rest is not offered. All is priced for this organism by
    itself: what its work saves of others is reckoned with theirs (`Alternative.besides`). How far
    it may be from the best is not reckoned: `gap_of` takes longer than all of this, and only a
    course that is told needs it.
    """
    task = replace(task, bonus={})
    others = (one.steps for one in found.alternatives)
    may = [steps for steps in others if allowed(task, steps)]
    costs = {
        steps: cost_in_draws(task, steps) - task.saved_besides(steps)
        for steps in dict.fromkeys((found.steps, (), *may))
    }
    return replace(
        found,
        cost=float(costs[found.steps].mean()),
        cost_of_nothing=float(costs[()].mean()),
        alternatives=alternatives(costs, found.steps),
        gap=None,
    )


def gap_of(task: Task, found: Found) -> float:
    """How far a course may be from the best, by itself as it is priced; see `Found.gap`."""
    return bounded(replace(task, bonus={}), found.steps).gap
