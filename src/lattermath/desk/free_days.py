"""Which treatments wait for a label's interval or a visit, and what it costs."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.insect_cluster import Others, Searched
from lattermath.desk.kept_courses import bits_of, bytes_of, said
from lattermath.desk.kept_work import Arrays, digest_of, remembered
from lattermath.desk.leaf_disease_course import LeafSearched
from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.free_day import Damages, FreeDay, Waiting, free_day_told, free_days
from lattermath.planning.leaf_disease_courses import damage_in_draws, searched_few
from lattermath.planning.shared_treatments import damages_of
from lattermath.vocabulary.ruling import Because

FloatArray = NDArray[np.float64]


def waits_told(searched: Searched) -> dict[int, Because]:
    """What is said of each treatment that waits, by its place in the course; reckoned once."""
    task, rulings = searched.task, searched.cluster.rulings

    def damages(visits: Sequence[int], steps: Sequence[Step]) -> FloatArray:
        return damages_of(replace(task, visits=tuple(visits)), steps)

    return _told(task, searched.found.steps, rulings, damages, bits_of(task))


def leaf_waits_told(searched: LeafSearched) -> dict[int, Because]:
    """The same of a course against a leaf disease."""
    case, few = searched.case, searched_few(searched.task)

    def damages(visits: Sequence[int], steps: Sequence[Step]) -> FloatArray:
        return damage_in_draws(few, replace(few, visits=tuple(visits)).run(steps))

    bits = (case.bits, searched.task.belief.applied, searched.task.left)
    return _told(searched.task, searched.found.steps, searched.rulings, damages, bits)


def _told(
    task: Waiting,
    steps: tuple[Step, ...],
    rulings: CourseRulings,
    damages: Damages,
    bits: tuple[object, ...],
) -> dict[int, Because]:
    """bits : everything that the damages are made of."""
    gaps = [[_interval(rulings, step.candidate, place) for place in step.places] for step in steps]

    def work() -> Arrays:
        found = free_days(task, steps, lambda c, place: _interval(rulings, c, place), damages)
        return {"free": bytes_of([asdict(one) for one in found])}

    key = digest_of(bits, [said(step) for step in steps], gaps)
    held = json.loads(remembered("free days", key, work)["free"].tobytes())
    free, today = [FreeDay(**one) for one in held], rulings.facts.today
    return {one.place: free_day_told(one, task, steps[one.place], today) for one in free}


def with_waits(
    work: Others, waits: dict[int, Because], steps: Sequence[Step], rulings: CourseRulings
) -> Others:
    """The same treatments, each that waits with what its waiting costs among its reasons."""
    told = {
        (rulings.visits[steps[n].visit], steps[n].candidate.product, key): because
        for n, because in waits.items()
        for key in (rulings.plantings[place].key for place in steps[n].places)
    }
    return tuple(
        (day, one if found is None else replace(one, because=(found, *one.because)))
        for day, one in work
        for found in [told.get((day, one.product, one.planting.key))]
    )


def _interval(rulings: CourseRulings, candidate: Candidate, place: int) -> float | None:
    """Days that the label wants between two uses on the crop that stands there; None: unknown."""
    label = rulings.permits.label(candidate.product)
    limits = None if label is None else label.limits_for(rulings.plantings[place].crop)
    if limits is None or not limits.retreat_days.known:
        return None
    return limits.retreat_days.value
