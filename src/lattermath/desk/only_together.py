"""What a course does on one planting beside what it does on others: only together, or not there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from lattermath.desk.insect_course import belief_of
from lattermath.planning.course_task import losses_in_draws
from lattermath.planning.evening_sprays import found_on
from lattermath.planning.left_out import LeftOut, left_out, left_out_told
from lattermath.planning.one_bed import better_than_nothing

if TYPE_CHECKING:
    from lattermath.desk.insect_cluster import Others, Searched
    from lattermath.planning.treating import Spraying
    from lattermath.vocabulary.ruling import Because


def with_company(searched: Searched, work: Others) -> Others:
    """The treatments of a course; those that would be worse than nothing done wait as others do.

    Where some of an evening are to be made in any case and others only if a look finds something,
    the look may find nothing, and the first be left alone: mixing for one bed, and what comes over
    from the other. Where the course is dearer so than doing nothing, they wait for the look at the
    planting with which they pay most.
    """
    found = list(work)
    for day in dict.fromkeys(day for day, _ in work):
        evening = [one for on, one in work if on == day and one.method in _methods(searched)]
        waiting = [one for one in evening if one.only_if]
        certain = [one for one in evening if not one.only_if]
        mate = _mate(searched, waiting, certain)
        if mate is not None:
            found = [_in_pair(on, one, day, mate, certain) for on, one in found]
    return tuple(found)


def left_out_of(
    searched: Searched, beside: Iterable[Spraying]
) -> tuple[tuple[Because, ...], tuple[tuple[str, str], ...]]:
    """Why its course leaves plantings out on which it was seen: reasons, and few words by planting.

    beside : treatments against others that take of it; where one is made, nothing is left out.
    """
    task, steps, found = searched.task, searched.found.steps, list[LeftOut]()
    treated = {place for step in steps for place in step.places} | {*searched.mesh, *searched.film}
    missed = searched.cluster.sick - {one.planting.key for one in beside}
    stands = task.belief.stands
    for place, stand in enumerate(stands):
        if steps and stand.key in missed and place not in treated:
            found.append(left_out(task, steps, place))
    reasons = (why for one in found for why in left_out_told(one, stands[one.place].name))
    return tuple(reasons), tuple((stands[o.place].key, o.short) for o in found if o.short)


def pays_by_itself(searched: Searched, work: Others) -> bool:
    """Is work planned against others worth its minutes for what it takes of this cluster alone?

    work : some of what is done beside its course, as `Searched.others` has it.
    """
    task, steps = searched.task, searched.found.steps
    less = tuple(one for one in searched.others if one not in work)
    lost = [
        float(losses_in_draws(replace(task, belief=belief), steps).sum(1).mean())
        for belief in (belief_of(searched, less), belief_of(searched, searched.others))
    ]
    hazard = {(c.method, c.product): c.hazard for c in task.candidates}
    minutes = sum(one.minutes for _, one in work) * task.minute_costs
    return lost[0] - lost[1] > minutes + sum(
        hazard.get((one.method, one.product), 0.0) for _, one in work
    )


def _methods(searched: Searched) -> set[str]:
    return {step.candidate.method for step in searched.found.steps}


def _mate(
    searched: Searched, waiting: Iterable[Spraying], certain: Iterable[Spraying]
) -> Spraying | None:
    """The treatment without which the certain ones are worse than nothing; None where they pay."""
    task, steps = searched.task, searched.found.steps
    places = {stand.key: place for place, stand in enumerate(task.belief.stands)}
    may = {places[one.planting.key]: one for one in waiting}
    if not may or not any(True for _ in certain):
        return None
    alone = {place for step in steps for place in step.places} - set(may)
    if better_than_nothing(task, steps, alone) > 0:
        return None
    return may[max(may, key=lambda place: better_than_nothing(task, steps, alone | {place}))]


def _in_pair(
    on: date, one: Spraying, day: date, mate: Spraying, certain: list[Spraying]
) -> tuple[date, Spraying]:
    if on != day or not (one is mate or any(one is other for other in certain)):
        return on, one
    if one is mate:
        return on, replace(one, sure=True)
    words = found_on(mate.only_if, mate.planting)
    return on, replace(one, only_if=words, look_at=mate.planting)
