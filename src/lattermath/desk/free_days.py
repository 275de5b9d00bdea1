"""Which treatments against a cluster wait for a label's interval or a visit, and what it costs."""

from __future__ import annotations

import json
from dataclasses import asdict, replace

from lattermath.desk.insect_cluster import Others, Searched
from lattermath.desk.kept_courses import bits_of, bytes_of, said
from lattermath.desk.kept_work import Arrays, digest_of, remembered
from lattermath.planning.course_task import Candidate
from lattermath.planning.free_day import FreeDay, free_day_told, free_days
from lattermath.vocabulary.ruling import Because


def waits_told(searched: Searched) -> dict[int, Because]:
    """What is said of each treatment that waits, by its place in the course; reckoned once."""
    task, steps = searched.task, searched.found.steps
    gaps = [[_interval(searched, step.candidate, place) for place in step.places] for step in steps]

    def work() -> Arrays:
        found = free_days(task, steps, lambda c, place: _interval(searched, c, place))
        return {"free": bytes_of([asdict(one) for one in found])}

    key = digest_of(bits_of(task), [said(step) for step in steps], gaps)
    held = json.loads(remembered("free days", key, work)["free"].tobytes())
    today = searched.cluster.facts.today
    free = [FreeDay(**one) for one in held]
    return {one.place: free_day_told(one, task, steps[one.place], today) for one in free}


def with_waits(searched: Searched, work: Others, waits: dict[int, Because]) -> Others:
    """The same treatments, each that waits with what its waiting costs among its reasons."""
    visits, steps = searched.cluster.visits, searched.found.steps
    told = {
        (visits[steps[n].visit], steps[n].candidate.product, key): because
        for n, because in waits.items()
        for key in (searched.task.belief.stands[place].key for place in steps[n].places)
    }
    return tuple(
        (day, one if found is None else replace(one, because=(found, *one.because)))
        for day, one in work
        for found in [told.get((day, one.product, one.planting.key))]
    )


def _interval(searched: Searched, candidate: Candidate, place: int) -> float | None:
    """Days that the label wants between two uses on the crop that stands there; None: unknown."""
    cluster = searched.cluster
    label = cluster.rulings.permits.label(candidate.product)
    crop = cluster.rulings.plantings[place].crop
    limits = None if label is None else label.limits_for(crop)
    if limits is None or not limits.retreat_days.known:
        return None
    return limits.retreat_days.value
