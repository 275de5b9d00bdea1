"""Courses against insects without what gains less than is told: nothing is planned for nothing.

The searches drive the sum of all damage and work as low as they can, by hundredths of a portion
too. Such a treatment would stand on a sheet with "do nothing: under 0.1 portions worse" beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lattermath.desk.insect_cluster import Searched
from lattermath.desk.insect_course import beside
from lattermath.desk.joint_plan import Joint
from lattermath.planning import near_courses
from lattermath.planning.course_task import LEAST_TOLD, Alternative, Step, kind_of
from lattermath.planning.steps_allowed import allowed


def worth_telling(joint: Joint, least: float = LEAST_TOLD) -> Joint:
    """The same without the courses against insects, and the steps of them, that all together would
    miss by less than is told.

    least : what each course may be dearer by in the end, all its steps left out together.
            [portions]

    What a step does for others counts for it. Series against leaf diseases are weighed so where
    they are found.
    """
    for n, one in enumerate(joint.insects):
        if one.found.steps:
            joint = _left_out(joint, n, least)
    return joint


def _left_out(joint: Joint, n: int, least: float) -> Joint:
    """One course as short as it may be for so much: none, or without the steps least missed."""
    whole = joint
    idle = _with(whole, n, ())
    if whole.cheaper_than(idle) < least:
        return idle
    while True:
        ways = [_with(whole, n, steps) for steps in _shorter(joint, n)]
        missed = [whole.cheaper_than(way) for way in ways]
        fewest = min(range(len(ways)), key=missed.__getitem__, default=None)
        if fewest is None or missed[fewest] >= least:
            return joint
        joint = ways[fewest]


def _shorter(joint: Joint, n: int) -> Iterator[tuple[Step, ...]]:
    """The course against one cluster with one step less, where the rest may go on without it."""
    one = beside(joint.insects[n], (*joint.beside_insect(n), *joint.leaf_work(-1)))
    steps = one.found.steps
    for k in range(len(steps) if len(steps) > 1 else 0):
        rest = near_courses.without(steps, k)
        if allowed(one.task, rest):
            yield rest


def _with(joint: Joint, n: int, steps: tuple[Step, ...]) -> Joint:
    """The same with another course against one cluster; what it had is told beside it."""
    return joint.with_insect(n, _beside_what_it_had(joint.insects[n], steps))


def _beside_what_it_had(one: Searched, steps: tuple[Step, ...]) -> Searched:
    found = one.found
    had = Alternative(kind_of(found.steps, steps), found.steps, 0.0, 0.0)  # priced where it is told
    return replace(one, found=replace(found, steps=steps, alternatives=(had, *found.alternatives)))
