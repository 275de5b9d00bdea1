"""The pictures of water in the ground and of degree-days; all numbers are the plan's own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Literal

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets import series_words as w
from lattermath.sheets.chart import Chart, Column, Course, Limit, Panel, Point, Upright
from lattermath.sheets.front import Teller
from lattermath.vocabulary import calendar
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.season_series import (
    Gain,
    HeatCourse,
    HeatMark,
    HowGained,
    Until,
    WaterCourse,
)
from lattermath.vocabulary.sentence import capital, inside

GAINED: dict[HowGained, tuple[str, Literal["known", "planned", "rain"]]] = {
    "poured": (w.POURED, "known"),
    "rain": (w.RAINED, "rain"),
    "planned": (w.PLANNED, "planned"),
}


def series_charts(plan: Plan, tell: Teller) -> list[Chart]:
    """The picture of water and that of warmth; neither where the plan holds nothing of it."""
    return [*_water(plan, tell), *_heat(plan, tell)]


def _water(plan: Plan, tell: Teller) -> Iterator[Chart]:
    """A panel for each planting, the first to run short first."""
    if not plan.water:
        return
    unit, last = _unit(tell), plan.water[0].ahead.days[-1]
    lines = [_water_says(one, last, tell) for one in plan.water]
    for rough in dict.fromkeys(one.rough for one in plan.water if one.rough):
        names = figures.listed(tell.name(o.planting) for o in plan.water if o.rough == rough)
        lines.append(w.WATER_ROUGH.format(name=capital(names), rough=rough))
    yield Chart(
        "water",
        w.WATER_TITLE.format(unit=unit),
        w.WATER_NOTE,
        (_first_dry(plan, last, tell), *lines),
        min(one.so_far.days[0] for one in plan.water),
        last,
        tuple(_water_panel(one, tell) for one in plan.water),
        (Upright(plan.as_of.date(), "today", p.TODAY),),
    )


def _water_panel(one: WaterCourse, tell: Teller) -> Panel:
    def turned(row: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(_litres(mm, one, tell) for mm in row)

    behind, ahead, unit = one.so_far, one.ahead, _unit(tell)
    due, without = turned(one.due), turned(ahead.without)
    now = figures.coarse(due[len(behind.days) - 1])
    least, most = figures.coarse(min(due)), figures.coarse(max(due))
    says = w.WATER_LINE if least == most else w.WATER_LINE_MOVES
    limit = Limit(
        (*behind.days, *ahead.days[1:]),
        due,
        w.WATER_DUE.format(due=now),
        says.format(least=least, most=most, unit=unit),
        "head",
    )
    return Panel(
        capital(tell.name(one.planting)),
        unit,
        (
            Course(behind.days, turned(behind.low), turned(behind.median), turned(behind.high)),
            Course(
                ahead.days, turned(ahead.low), turned(ahead.median), turned(ahead.high), without
            ),
        ),
        points=tuple(_pointer(one.dry_by, w.SHORT_BY)),
        columns=tuple(_column(gain, one, tell) for gain in one.gains),
        limits=(limit,),
    )


def _pointer(by: Until, says: str) -> Iterator[Point]:
    if by.middle is not None:
        yield Point(by.middle, "last day", says)


def _column(gain: Gain, one: WaterCourse, tell: Teller) -> Column:
    amount, (form, look) = _litres(gain.mm, one, tell), GAINED[gain.how]
    return Column(gain.day, amount, look, form.format(much=_said(amount), unit=_unit(tell)))


def _unit(tell: Teller) -> str:
    return w.WATER_UNITS[figures.in_units(0.0, "l", tell.units)[1]]


def _litres(mm: float, one: WaterCourse, tell: Teller) -> float:
    return figures.in_units(mm * one.litres_a_mm, "l", tell.units)[0]


def _said(litres: float) -> str:
    return figures.coarse(litres)


def _first_dry(plan: Plan, last: date, tell: Teller) -> str:
    """Which is short first, in one sentence."""
    first = plan.water[0]  # of those with the same day, as the plan has them
    planned = any(gain.how == "planned" for one in plan.water for gain in one.gains)
    if first.dry_by.middle is None:
        return (w.NONE_DRY_PLANNED if planned else w.NONE_DRY).format(last=calendar.said(last))
    form = w.FIRST_DRY_PLANNED if planned else w.FIRST_DRY
    return form.format(name=inside(tell.name(first.planting)), when=_dry(first, last))


def _water_says(one: WaterCourse, last: date, tell: Teller) -> str:
    today = len(one.so_far.days) - 1
    planned = "".join(
        w.WATER_PLANNED.format(much=_said(_litres(gain.mm, one, tell)), day=calendar.said(gain.day))
        for gain in one.gains
        if gain.how == "planned"
    )
    form = w.WATER_LASTS if one.dry_by.early is None else w.WATER_SAYS
    says = form.format(
        name=capital(tell.name(one.planting)),
        left=_said(_litres(one.so_far.median[-1], one, tell)),
        full=_said(_litres(one.full[today], one, tell)),
        unit=_unit(tell),
        due=_said(_litres(one.due[today], one, tell)),
        planned=planned,
        when=_dry(one, last),
        last=calendar.said(last),
    )
    return says.replace(": Short", ": short").replace(": Not", ": not")


def _dry(one: WaterCourse, last: date) -> str:
    """By when it runs short, in words."""
    by = one.dry_by
    if by.middle == one.ahead.days[0]:
        return w.DRY_NOW
    if by.early is not None and by.late is None:
        early, end = calendar.said(by.early), calendar.said(last)
        if by.middle is None:
            return w.DRY_EARLY_ONLY.format(early=early, last=end)
        return w.DRY_OPEN.format(middle=calendar.said(by.middle), early=early, last=end)
    return _when(by)


def _heat(plan: Plan, tell: Teller) -> Iterator[Chart]:
    """A panel for each insect, then for each planting that does not bear yet."""
    if not plan.heat:
        return
    first, last = min(o.since for o in plan.heat), max(o.ahead.days[-1] for o in plan.heat)
    yield Chart(
        "warmth",
        w.HEAT_TITLE.format(unit=figures.in_units(0.0, "C apart", tell.units)[1]),
        w.HEAT_NOTE,
        tuple(_heat_says(one, tell) for one in plan.heat),
        first,
        last,
        tuple(_heat_panel(one, first, last, tell) for one in plan.heat),
        (Upright(plan.as_of.date(), "today", p.TODAY),),
    )


def _heat_panel(one: HeatCourse, first: date, last: date, tell: Teller) -> Panel:
    def turned(row: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(_degree_days(value, tell) for value in row)

    behind, ahead = one.so_far, one.ahead
    limits: list[Limit] = []
    points: list[Point] = []
    for mark in one.marks:
        young = _young(mark, one)
        needs = _degree_days(mark.needs, tell)
        line = w.YOUNG_LINE if young else w.COMES_LINE[mark.what]
        says = line.format(sum=figures.coarse(needs))
        limits.append(Limit((first, last), (needs, needs), w.COMES[mark.what], says))
        points += _pointer(mark.when, w.YOUNG_DAY if young else w.COMES_DAY[mark.what])
    return Panel(
        w.HEAT_PANEL.format(name=capital(tell.name(one.of)), base=_base(one, tell)),
        figures.in_units(0.0, "C apart", tell.units)[1],
        (
            Course(behind.days, turned(behind.low), turned(behind.median), turned(behind.high)),
            Course(ahead.days, turned(ahead.low), turned(ahead.median), turned(ahead.high)),
        ),
        points=tuple(points),
        limits=tuple(limits),
    )


def _young(mark: HeatMark, one: HeatCourse) -> bool:
    """Whether it bears its young alive, so that nothing is laid."""
    return mark.what == "grown" and len(one.marks) == 1


def _heat_says(one: HeatCourse, tell: Teller) -> str:
    """What the warmth brings and when, then how much there was so far."""
    name = capital(tell.name(one.of))
    comes = {
        mark.what: w.MORE.format(
            when=_when(mark.when),
            more=figures.coarse(_degree_days(_more(mark, one), tell)),
        )
        for mark in one.marks
    }
    if "first pick" in comes:
        says = w.CROP_SAYS.format(name=name, pick=comes["first pick"])
    elif "hatch" in comes:
        says = w.HATCH_SAYS.format(name=name, hatch=comes["hatch"], grown=comes["grown"])
    else:
        says = w.YOUNG_SAYS.format(name=name, grown=comes["grown"])
    return says + w.SO_FAR_SAYS.format(
        sum=figures.coarse(_degree_days(one.so_far.median[-1], tell)),
        base=_base(one, tell),
        begins=w.BEGINS[one.begins],
        day=calendar.short(one.since),
    )


def _more(mark: HeatMark, one: HeatCourse) -> float:
    return max(mark.needs - one.so_far.median[-1], 0.0)


def _when(by: Until) -> str:
    if by.early is None:
        return w.WHEN_NEVER
    early = calendar.said(by.early)
    if by.middle is None:
        return w.WHEN_HARDLY.format(early=early)
    middle = calendar.said(by.middle)
    if by.late is None:
        return w.WHEN_OPEN.format(middle=middle, early=early)
    if by.early == by.late:
        return w.WHEN_DAY.format(middle=middle)
    return w.WHEN_SPAN.format(middle=middle, between=_between(by.early, by.late))


def _between(early: date, late: date) -> str:
    """Two days, the month once where it is the same: `7 to 9 Aug`."""
    same = (early.year, early.month) == (late.year, late.month)
    first = str(early.day) if same else calendar.short(early)
    return p.FROM_TO.format(first=first, last=calendar.short(late))


def _base(one: HeatCourse, tell: Teller) -> str:
    value, unit = figures.in_units(one.base_c, "C", tell.units)
    return f"{figures.coarse(value)} {figures.DEGREE}{unit}"


def _degree_days(value: float, tell: Teller) -> float:
    return figures.in_units(value, "C apart", tell.units)[0]
