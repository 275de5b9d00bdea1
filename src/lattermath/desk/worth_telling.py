"""Courses without what gains less than is told: nothing is planned for nothing.

The searches drive the sum of all damage and work as low as they can, by hundredths of a portion
too. Such a treatment would stand on a sheet with "do nothing: makes no difference worth telling"
beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from lattermath.desk.insect_course import beside
from lattermath.desk.joint_plan import Joint
from lattermath.desk.leaf_disease_course import leaf_beside
from lattermath.planning import near_courses
from lattermath.planning.course_task import LEAST_TOLD, Alternative, Step, kind_of
from lattermath.planning.steps_allowed import Ruled, allowed

Side = Literal["insects", "leaves"]
Steps = tuple[Step, ...]


def worth_telling(joint: Joint, least: float = LEAST_TOLD) -> Joint:
    """The same without the courses, and the steps of them, that all together would miss by less
    than is told.

    least : what each course may be dearer by in the end, all its steps left out together.
            [portions]

    What a step does for others counts for it.
    """
    sides: tuple[Side, ...] = ("insects", "leaves")
    for side in sides:
        for n, one in enumerate(getattr(joint, side)):
            if one.found.steps:
                joint = _left_out(joint, side, n, least)
    return joint


def _left_out(joint: Joint, side: Side, n: int, least: float) -> Joint:
    """One course as short as it may be for so much: none, or without the steps least missed."""
    whole = joint
    idle = _with(whole, side, n, ())
    if whole.cheaper_than(idle, least) < least:
        return idle
    while True:
        ways = [_with(whole, side, n, steps) for steps in _shorter(joint, side, n)]
        missed = [whole.cheaper_than(way, least) for way in ways]
        fewest = min(range(len(ways)), key=missed.__getitem__, default=None)
        if fewest is None or missed[fewest] >= least:
            return joint
        joint = ways[fewest]


def _shorter(joint: Joint, side: Side, n: int) -> Iterator[Steps]:
    """One course with one step less, where the rest may go on without it."""
    task, steps = _as_it_stands(joint, side, n)
    for k in range(len(steps) if len(steps) > 1 else 0):  # the only one is the whole course
        rest = near_courses.without(steps, k)
        if allowed(task, rest):
            yield rest


def _as_it_stands(joint: Joint, side: Side, n: int) -> tuple[Ruled, Steps]:
    """One course, and what rules it, beside all that is done against the others."""
    if side == "insects":
        one = beside(joint.insects[n], (*joint.beside_insect(n), *joint.leaf_work(-1)))
        return one.task, one.found.steps
    leaf = leaf_beside(joint.leaves[n], (*joint.beside_insect(-1), *joint.leaf_work(n)))
    return leaf.task, leaf.found.steps


def _with(joint: Joint, side: Side, n: int, steps: Steps) -> Joint:
    """The same with another course against one of them; what it had is told beside it."""
    if side == "insects":
        one = joint.insects[n]
        more = (_had(one.found.steps, steps), *one.found.alternatives)
        found = replace(one.found, steps=steps, alternatives=more)
        return joint.with_insect(n, replace(one, found=found))
    leaf = joint.leaves[n]
    more = (_had(leaf.found.steps, steps), *leaf.found.alternatives)
    ill = replace(leaf.found, steps=steps, alternatives=more, next_best=steps or leaf.found.steps)
    return joint.with_leaf(n, replace(leaf, found=ill))


def _had(steps: Steps, now: Steps) -> Alternative:
    """The course as it was, priced where it is told."""
    return Alternative(kind_of(steps, now), steps, 0.0, 0.0)
