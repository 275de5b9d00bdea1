"""No spray on leaves watered from above a little before; none that burns over dry soil."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lattermath.audit.closures import on_the_soil
from lattermath.audit.figures import (
    HOUR,
    UNTIL_DRY_HOURS,
    WATER_ROUNDED_MM,
    holds_oil,
    holds_soap,
    holds_sulfur,
)
from lattermath.audit.hour_check import meeting
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import WATER_FIRST
from lattermath.vocabulary.events import Event, Watering
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.season_series import WaterCourse


def check_watered(
    applied: Iterable[Application], events: Iterable[Event], site: Site
) -> Iterator[Fault]:
    """Each spray of the plan against the watering of the hours before it."""
    entries = list(events)
    gone = {entry.supersedes for entry in entries}
    given = [e for e in entries if isinstance(e.payload, Watering) and e.id not in gone]
    for a in applied:
        planting = site.plantings.get(a.planting)
        if a.task is None or a.label is None or on_the_soil(a.label) or planting is None:
            continue
        for entry in given:
            ago = a.begins - entry.happened_at.timestamp()
            if 0 <= ago < UNTIL_DRY_HOURS * HOUR and _over(entry.payload, planting, site):
                yield Fault("sprays leaves watered from above", a.where, f"entry {entry.serial}")


def _over(poured: object, planting: Planting, site: Site) -> bool:
    assert isinstance(poured, Watering)
    here = poured.planting == planting.key
    here = here or (poured.planting is None and poured.bed in (None, planting.bed))
    return here and (poured.way or site.plot.usual_watering(planting)) == "overhead"


def check_soil(applied: list[Application], plan: Plan, site: Site) -> Iterator[Fault]:
    """Each soap, oil and sulfur of the plan against the water that the plan tells of its ground.

    Water is shared out for the next visit alone, so that words do for a later one.
    """
    told = {course.planting: course for course in plan.water}
    for a in applied:
        if a.task is None or a.visit is None or a.label is None:
            continue
        labels = meeting(a, a.label, applied, site)
        if not any(holds_soap(x.active) or holds_oil(x.active) or holds_sulfur(x.active)
                   for x in labels):  # fmt: skip
            continue
        next_visit = a.visit is plan.visits[0]
        lacking = _lacking_mm(a, told.get(a.planting), before=next_visit)
        warned = WATER_FIRST in " ".join((a.task.only_if, *a.task.cautions))
        if warned and (lacking is None or not next_visit):
            continue
        if lacking is None:
            yield Fault("sprays plants whose soil nobody knows", a.where, a.planting)
        elif lacking > WATER_ROUNDED_MM:
            short = f"{a.planting}: {lacking:.1f} mm short, {_poured_before(a):g} l given"
            yield Fault("sprays plants on dry soil", a.where, short, "Water first.")


def _lacking_mm(a: Application, course: WaterCourse | None, *, before: bool) -> float | None:
    """What the ground lacks of what must be left in it that evening, this visit's water in it.

    before : the course has this visit's water in it, and has it without apart.
    """
    if course is None or a.visit is None or a.visit.date not in course.ahead.days:
        return None
    n = course.ahead.days.index(a.visit.date)
    strip = course.ahead
    left = strip.without[n] if before and strip.without else strip.median[n]
    due = course.due[len(course.so_far.days) - 1 + n]
    return due - left - _poured_before(a) / course.litres_a_mm


def _poured_before(a: Application) -> float:
    """Litres that the planting's ground gets at the visit, carried there before it is sprayed."""
    return sum(
        share.quantity
        for task in (() if a.visit is None else a.visit.tasks)
        if task.kind == "water" and task.ends is not None and task.ends.timestamp() <= a.begins
        for share in task.amounts
        if share.planting == a.planting
    )
