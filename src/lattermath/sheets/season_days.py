"""The days of a plan as a chart: what is barred, treated, looked at, ready, and by when to act."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from lattermath.sheets import page_words as p
from lattermath.sheets.chart import Chart, Panel, Point, Stretch, Upright
from lattermath.sheets.front import Teller, sentence
from lattermath.vocabulary import calendar
from lattermath.vocabulary.events import Event, Sighting, Treatment
from lattermath.vocabulary.plan import Clearance, Plan, StandbyAdvice
from lattermath.vocabulary.sentence import capital

DAYS_BEHIND = 14  # shown before today
LEAST_AHEAD, MOST_AHEAD = 14, 70


def days_chart(plan: Plan, events: Iterable[Event], tell: Teller) -> Chart | None:
    """One row for each planting, bare bed and lot of cups; None where there are none."""
    today, held = plan.as_of.date(), list(events)
    first, last = today - timedelta(days=DAYS_BEHIND), _last(plan, today)
    keys = [clear.planting for clear in plan.picking]
    keys += [v.planting for v in plan.verdicts if v.planting not in keys]
    panels = [
        Panel(
            capital(tell.name(key)),
            stretches=tuple(_barred(plan.picking, key, today, last)),
            points=tuple(x for x in _points(plan, held, key, tell) if first <= x.day <= last),
        )
        for key in keys
    ]
    panels += [panel for lot in plan.standby if (panel := _cups(lot, tell, first, last))]
    if not panels:
        return None
    return Chart(
        "days",
        p.DAYS_TITLE,
        p.DAYS_NOTE,
        _says(plan, tell),
        first,
        last,
        tuple(panels),
        today_and_frost(plan, first, last),
    )


def today_and_frost(plan: Plan, first: date, last: date) -> tuple[Upright, ...]:
    """Today, and the usual first frost where it lies on the days drawn."""
    today = Upright(plan.as_of.date(), "today", p.TODAY)
    frost = plan.season.frost if plan.season else None
    if frost is None or not first <= frost <= last:
        return (today,)
    says = p.FROST_ABOUT.format(day=calendar.short(frost))
    return today, Upright(frost, "frost", p.FIRST_FROST, says)


def _last(plan: Plan, today: date) -> date:
    """The last day drawn: of all that has a day, and not further than can be told apart."""
    days = [step.day for population in plan.populations for step in population.course]
    days += [v.decide_by for v in plan.verdicts if v.decide_by]
    days += [s.ready_to for s in plan.standby if s.ready_to]
    days += [c.safe_from.date() for c in plan.picking if c.safe_from]
    days += [plan.season.frost] if plan.season and plan.season.frost else []
    furthest = max([today + timedelta(days=LEAST_AHEAD), *days]) + timedelta(days=2)
    return min(furthest, today + timedelta(days=MOST_AHEAD))


def _barred(picking: Sequence[Clearance], key: str, today: date, last: date) -> Iterator[Stretch]:
    for clear in picking:
        if clear.planting != key or clear.clear_now:
            continue
        if clear.safe_from is None:
            yield Stretch(today, last, "barred", p.NOT_PICKED_UNKNOWN)
        else:
            when = calendar.said_with_hour(clear.safe_from, today)
            says = p.NOT_PICKED_BEFORE.format(when=when)
            yield Stretch(today, min(clear.safe_from.date(), last), "barred", says)


def _points(plan: Plan, events: Iterable[Event], key: str, tell: Teller) -> Iterator[Point]:
    """What was done and looked at, what is planned, and the last day to decide."""
    for event in events:
        what = event.payload
        if isinstance(what, Treatment) and key in what.plantings:
            says = p.WITH.format(what=tell.name(what.product or what.method))
            yield Point(event.day, "done", says)
        elif isinstance(what, Sighting) and what.planting == key:
            yield Point(event.day, "looked", p.LOOKED_FOR.format(what=tell.name(what.what)))
    for population in plan.populations:
        for step in population.course:
            if key in step.plantings:
                yield Point(step.day, "planned", p.PLANNED_STEP.format(says=tell.tell(step.says)))
    for verdict in plan.verdicts:
        if verdict.planting == key and verdict.decide_by:
            yield Point(verdict.decide_by, "last day", p.DECIDE_BY_THEN)


def _cups(lot: StandbyAdvice, tell: Teller, first: date, last: date) -> Panel | None:
    """When a lot is ready, and by when to sow one."""
    name, _, _ = tell.tell(lot.says).partition(":")
    stretches, points = [], []
    if lot.ready_from and lot.ready_to and lot.ready_to >= first and lot.ready_from <= last:
        until = min(lot.ready_to, last)
        stretches.append(Stretch(max(lot.ready_from, first), until, "ready", p.CUPS_READY))
    if lot.sow and lot.sow_by and first <= lot.sow_by <= last:
        points.append(Point(lot.sow_by, "last day", p.SOW_BY_THEN))
    if not stretches and not points:
        return None
    in_cups = p.IN_CUPS.format(name=capital(name))
    called = in_cups if lot.lot else p.TO_SOW.format(crop=tell.name(lot.crop))
    return Panel(called, stretches=tuple(stretches), points=tuple(points))


def _says(plan: Plan, tell: Teller) -> tuple[str, ...]:
    """What is barred, and the last days, in words."""
    parts = []
    for clear in plan.picking:
        if not clear.clear_now:
            safe, today = clear.safe_from, plan.as_of.date()
            when = calendar.said_with_hour(safe, today) if safe else ""
            bar = p.BARRED_UNTIL.format(name=tell.name(clear.planting), when=when)
            unknown = p.BARRED_UNKNOWN.format(name=tell.name(clear.planting))
            parts.append(sentence(bar if when else unknown))
    for verdict in plan.verdicts:
        if verdict.decide_by:
            day = calendar.said(verdict.decide_by)
            says = p.DECIDE_SAYS.format(name=tell.name(verdict.planting), day=day)
            parts.append(sentence(says))
    return tuple(parts) or (p.NOTHING_BARRED,)
