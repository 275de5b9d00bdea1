"""Courses without what gains less than is told: nothing is planned for nothing.

The searches drive the sum of all damage and work as low as they can, by hundredths of a portion
too. Such a treatment would stand on a sheet with "do nothing: makes no difference worth telling"
beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lattermath.desk.joint_plan import Joint, Side
from lattermath.planning import near_courses
from lattermath.planning.course_task import LEAST_TOLD, Alternative, Step, kind_of
from lattermath.planning.steps_allowed import Ruled, allowed

Steps = tuple[Step, ...]


def worth_telling(joint: Joint, least: float = LEAST_TOLD) -> Joint:
    """The same without the courses, and the steps of them, that all together would miss by less
    than is told.

    least : what each course may be dearer by in the end, all its steps left out together.
            [portions]

    What a step does for others counts for it.
    """
    for planting in _worked(joint):
        joint = _let_alone(joint, planting, least)
    for side, n in _every(joint):
        if getattr(joint, side)[n].found.steps:
            joint = _left_out(joint, side, n, least)
    return joint


def _worked(joint: Joint) -> list[str]:
    """Plantings that are worked over against more than one."""
    asked: dict[str, set[str]] = {}
    for _, one in joint.work:
        asked.setdefault(one.planting.key, set()).add(one.target)
    return [key for key, targets in asked.items() if len(targets) > 1]


def _let_alone(joint: Joint, planting: str, least: float) -> Joint:
    """The same with nothing done on one planting, where all its work together gains too little.

    Two who would each take a crop are each worth treating where the other is treated; both may not
    be.
    """
    tried = joint
    for side, n in _every(joint):
        one = getattr(tried, side)[n]
        stands = (one.cluster if side == "insects" else one.case).belief.stands
        place = next((p for p, stand in enumerate(stands) if stand.key == planting), None)
        if place is None or not any(place in step.places for step in one.found.steps):
            continue
        rest = near_courses.without_work_on(one.found.steps, place)
        if not allowed(_as_it_stands(joint, side, n)[0], rest):
            return joint
        tried = _with(tried, side, n, rest)
    return tried if joint.cheaper_than(tried, least) < least else joint


def _every(joint: Joint) -> Iterator[tuple[Side, int]]:
    yield from (("insects", n) for n in range(len(joint.insects)))
    yield from (("leaves", n) for n in range(len(joint.leaves)))


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
        one = joint.insect_as_it_stands(n)
        return one.task, one.found.steps
    leaf = joint.leaf_as_it_stands(n)
    return leaf.task, leaf.found.steps


def _with(joint: Joint, side: Side, n: int, steps: Steps) -> Joint:
    """The same with another course against one of them; what it had is told beside it."""
    if side == "insects":
        one = joint.insects[n]
        more = (_had(one.found.steps, steps), *one.found.alternatives)
        found = replace(one.found, steps=steps, alternatives=more)
        return joint.with_insect(n, replace(one, found=found, priced=""))  # priced where told
    leaf = joint.leaves[n]
    more = (_had(leaf.found.steps, steps), *leaf.found.alternatives)
    ill = replace(leaf.found, steps=steps, alternatives=more, next_best=steps or leaf.found.steps)
    return joint.with_leaf(n, replace(leaf, found=ill))


def _had(steps: Steps, now: Steps) -> Alternative:
    """The course as it was, priced where it is told."""
    return Alternative(kind_of(steps, now), steps, 0.0, 0.0)
