"""The pictures of a season, as charts: what a plan reckons, and what the record says was done.

Nothing is reckoned here that the plan holds: numbers are taken from it as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets.chart import Chart, Course, Panel, Upright, Week
from lattermath.sheets.figures import Units
from lattermath.sheets.front import Teller, sentence
from lattermath.sheets.season_days import days_chart, today_and_frost
from lattermath.sheets.series_charts import series_charts
from lattermath.vocabulary import calendar
from lattermath.vocabulary.events import Event, Picking, Treatment
from lattermath.vocabulary.plan import Outlook, Plan, Population
from lattermath.vocabulary.season_series import Strip, Trace
from lattermath.vocabulary.sentence import capital

WEEKS_BEHIND = 4  # of picking shown before today


def season_charts(plan: Plan, events: Sequence[Event], units: Units) -> list[Chart]:
    """Every picture of a plan: harvest, days, and one for each organism that is followed.

    events : what was done and seen up to the plan's day and still stands.
    """
    tell = Teller(plan, units, figures.DEGREE)
    found = [harvest_chart(plan, events, tell), days_chart(plan, events, tell)]
    found += series_charts(plan, tell)
    found += [population_chart(one, plan, events, tell) for one in plan.populations if one.strips]
    return [chart for chart in found if chart is not None]


def population_chart(
    population: Population, plan: Plan, events: Iterable[Event], tell: Teller
) -> Chart:
    """The numbers of one organism by stage, behind us and ahead, with treatments and hatch."""
    name = capital(tell.name(population.organism))
    strips, today = population.strips, plan.as_of.date()
    behind = {trace.name: trace for trace in population.so_far}
    first = min([strips[0].days[0], *(trace.days[0] for trace in population.so_far)])
    hatch = population.hatch
    panels = tuple(
        Panel(
            strip.name,
            strip.unit,
            tuple(_courses(strip, behind.get(strip.name))),
            between=(hatch.early, hatch.late) if hatch and strip.name == p.EGGS else None,
        )
        for strip in strips
    )
    names = figures.listed(tell.name(key) for key in population.plantings)
    note = [p.ON_NOTE.format(names=names), p.COURSE_NOTE]
    if hatch:
        note.append(
            p.HATCH_NOTE.format(day=calendar.short(hatch.early), last=calendar.short(hatch.late))
        )
    return Chart(
        f"{population.organism.replace('_', '-')}",
        p.POPULATION_TITLE.format(name=name, unit=strips[0].unit),
        " ".join(note),
        tuple(filter(None, [tell.tell(population.course_says), *map(_strip_says, strips)])),
        first,
        strips[0].days[-1],
        panels,
        tuple(_treatments(population, events, today, tell)),
    )


def _courses(strip: Strip, behind: Trace | None) -> Iterator[Course]:
    if behind is not None:
        yield Course(behind.days, behind.low, behind.median, behind.high)
    yield Course(strip.days, strip.low, strip.median, strip.high, strip.without)


def _strip_says(strip: Strip) -> str:
    return p.STRIP_SAYS.format(
        name=capital(strip.name),
        now=figures.coarse(strip.median[0]),
        then=figures.coarse(strip.median[-1]),
        day=calendar.short(strip.days[-1]),
        without=figures.coarse(strip.without[-1]),
    )


def _treatments(
    population: Population, events: Iterable[Event], today: date, tell: Teller
) -> Iterator[Upright]:
    """Today, and every treatment against it under its number, done and planned."""
    there = set(population.plantings)
    done: dict[date, list[str]] = {}
    for event in events:
        what = event.payload
        if not isinstance(what, Treatment) or not there & set(what.plantings):
            continue
        if what.against in ("", population.organism):
            names = figures.listed(tell.name(key) for key in what.plantings)
            told = p.TREATED.format(names=names, what=tell.name(what.product or what.method))
            done.setdefault(event.day, []).append(told)
    planned: dict[date, list[str]] = {}
    for step in population.course:
        names = figures.listed(tell.name(key) for key in step.plantings)
        told = p.TREATED.format(names=names, what=tell.tell(step.says))
        planned.setdefault(step.day, []).append(told)
    yield Upright(today, "today", p.TODAY)
    days = [(day, "done", says) for day, says in done.items()]
    days += [(day, "planned", says) for day, says in planned.items()]
    for n, (day, sign, says) in enumerate(sorted(days), 1):
        form = p.DONE_ON if sign == "done" else p.PLANNED_ON
        words = sentence(form.format(day=calendar.said(day), says="; ".join(says)))
        yield Upright(day, "done" if sign == "done" else "planned", str(n), words)


def harvest_chart(plan: Plan, events: Iterable[Event], tell: Teller) -> Chart | None:
    """Kilograms by week: what was picked, and what is still to come with its range."""
    whole = plan.harvest
    if whole is None:
        return None
    unit = figures.in_units(0.0, "kg", tell.units)[1]
    today, picked = plan.as_of.date(), [e for e in events if isinstance(e.payload, Picking)]
    begins = calendar.monday_of(today) - timedelta(weeks=WEEKS_BEHIND)
    rows: list[tuple[str, Outlook, str | None]] = [(p.WHOLE_PLOT, whole, None)]
    rows += [(capital(tell.name(one.planting)), one, one.planting) for one in plan.outlook]
    panels = tuple(
        Panel(name, unit, weeks=tuple(weeks))
        for name, outlook, key in rows
        if (weeks := [*_picked(picked, key, begins, today, tell), *_coming(outlook, today, tell)])
        and any(week.high or week.middle or week.without for week in weeks)
    )
    if not panels:
        return None
    uncounted = any(e.payload.kg is None for e in picked if isinstance(e.payload, Picking))
    last = max(whole.weeks) + timedelta(days=7)
    return Chart(
        "harvest",
        p.HARVEST_TITLE.format(unit=unit),
        " ".join([p.HARVEST_NOTE, *([p.PIECES_NOTE] if uncounted else [])]),
        (_harvest_says(whole, tell),),
        begins,
        last,
        panels,
        today_and_frost(plan, begins, last),
    )


def _picked(
    picked: Iterable[Event], planting: str | None, begins: date, today: date, tell: Teller
) -> Iterator[Week]:
    """What was weighed, by week; a planting of None: all of them."""
    found: dict[date, float] = {}
    for event in picked:
        what = event.payload
        if not isinstance(what, Picking) or what.kg is None or event.day < begins:
            continue
        if planting is None or what.planting == planting:
            monday = calendar.monday_of(event.day)
            found[monday] = found.get(monday, 0.0) + what.kg
    for monday, kg in sorted(found.items()):
        last = min(monday + timedelta(days=6), today)
        yield Week(monday, last, _weight(kg, tell))


def _coming(outlook: Outlook, today: date, tell: Teller) -> Iterator[Week]:
    """What is to come; of this week only its days that are left."""
    for monday, kept, left in zip(outlook.weeks, outlook.with_plan, outlook.without, strict=True):
        yield Week(
            max(monday, today),
            monday + timedelta(days=6),
            _weight(kept.median, tell),
            _weight(kept.low, tell),
            _weight(kept.high, tell),
            _weight(left.median, tell),
        )


def _weight(kg: float, tell: Teller) -> float:
    return figures.in_units(kg, "kg", tell.units)[0]


def _harvest_says(whole: Outlook, tell: Teller) -> str:
    """The best week and the last one that bears, with their ranges."""
    bearing = [
        (week, span)
        for week, span in zip(whole.weeks, whole.with_plan, strict=True)
        if figures.coarse(_weight(span.high, tell)) != "0"
    ]
    if not bearing:
        return p.NO_HARVEST
    best = max(bearing, key=lambda row: row[1].median)
    last = bearing[-1]
    return p.HARVEST_SAYS.format(
        best=calendar.short(best[0]),
        much=figures.span(best[1], tell.units),
        last=calendar.short(last[0]),
        little=figures.span(last[1], tell.units),
    )
