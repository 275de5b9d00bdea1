"""Treatments that somebody else than the plan wants, put to the same rulings and the same audit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from lattermath.audit.plan_audit import audit
from lattermath.desk.fillings import filled, rate_on
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import amounts_for, stand_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.courses import MIX_MINUTES, SPRAY_MINUTES_M2
from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.treating import Spraying, treating_task
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.evening import WATER_FIRST, Applied, Evening
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.plan import SCHEMA_VERSION, Plan, Stamp, Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

SIDES: tuple[Surface, ...] = ("underside", "top")


@dataclass(frozen=True, slots=True)
class Ruled:
    """What came of a wish to treat: tasks with their hours and amounts, and who barred the rest."""

    tasks: tuple[Task, ...]
    barred: tuple[tuple[str, tuple[Because, ...]], ...]  # planting, and its bars


def rule_on(facts: SeasonFacts, product: str, wanted: Sequence[str]) -> Ruled:
    """Rule on spraying a product of the shelf on plantings, as the last job of the day's visit.

    Each is ruled on at the hour it would have, those before it counted, as the plan's own are; the
    plantings are taken to be watered at the foot earlier that evening. InputError on a day without
    a visit, or for a product or planting that is not there.
    """
    evening = tonight(facts)
    permits = Permits(facts, own_cautions(facts.tables), {})
    label = permits.label(product)
    if label is None:
        raise InputError(Fault("not on the shelf", "product", product))
    plantings = [facts.plot.planting(key) for key in wanted]
    rates = [rate_on(label, one) for one in plantings]
    minutes = [
        _minutes(facts, one, first=n == 0 or rates[n] != rates[n - 1])
        for n, one in enumerate(plantings)
    ]
    hours = last_job_hours(evening, sum(minutes))
    starts = None if hours is None else hours[0]
    tasks: list[Task] = []
    barred: list[tuple[str, tuple[Because, ...]]] = []
    planned: list[Applied] = []
    for planting, long in zip(plantings, minutes, strict=True):
        ruling = permits.rule(planting, label.active, product, evening, long, planned,
                              starts=starts, watered=True)  # fmt: skip
        one = Spraying(label.active, product, "", "what was seen", planting, long,
                       amounts_for(facts, label, planting, SIDES), SIDES, label.name, True,
                       ruling=ruling)  # fmt: skip
        task = treating_task(evening.day, one)
        if task is None or starts is None:
            barred.append((planting.key, tuple(ruling.bars)))
            continue
        ends = starts + timedelta(minutes=long)
        tasks.append(replace(task, starts=starts, ends=ends))
        planned.append(permits.applied(planting, label.active, product, ends))
        starts = ends
    visit = filled(facts, visit_of(evening, tasks), {})
    return Ruled(visit.tasks, tuple(barred))


def mixed_again(facts: SeasonFacts, tasks: Sequence[Task]) -> tuple[Task, ...]:
    """The same tasks with each product mixed for just these.

    A sheet mixes once for all plantings; whoever leaves one out mixes less by its share, as the
    sheet says.
    """
    return filled(facts, visit_of(tonight(facts), tasks), {}).tasks


def faults_of(facts: SeasonFacts, tasks: Sequence[Task]) -> tuple[Fault, ...]:
    """What the audit finds in the work of one visit, before any of it is logged.

    What is treated is taken to be watered at the foot before.
    """
    stamp = Stamp("", "", "", "", 0, 0, "", "", "", 0)
    told = [replace(task, cautions=(*task.cautions, WATER_FIRST)) for task in tasks]
    visit = visit_of(tonight(facts), told)
    done = Plan(SCHEMA_VERSION, facts.plot.name, facts.now, (visit,), (), (), (), (), (), (), stamp)
    return audit(done, facts.plot, facts.events, facts.evenings)


def tonight(facts: SeasonFacts) -> Evening:
    """The visit of the day; InputError where none is planned for it."""
    found = next((one for one in facts.evenings if one.day == facts.today), None)
    if found is None:
        remedy = "Ask for a day of [visiting] in plot.toml."
        raise InputError(Fault("no visit on that day", "day", facts.today.isoformat(), remedy))
    return found


def visit_of(evening: Evening, tasks: Sequence[Task]) -> VisitPlan:
    """A visit that holds just these tasks."""
    minutes = sum(task.minutes for task in tasks)
    return VisitPlan(evening.day, evening.arrive, evening.leave, evening.sunset, evening.told_by,
                     minutes, tuple(tasks))  # fmt: skip


def _minutes(facts: SeasonFacts, planting: Planting, *, first: bool) -> float:
    """As the plan reckons them: mixing once a filling, and so much a square metre."""
    once = MIX_MINUTES if first else 0.0
    return float(round(once + SPRAY_MINUTES_M2 * stand_of(facts, planting).ground_m2))
