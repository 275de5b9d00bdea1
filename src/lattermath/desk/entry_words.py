"""One journal entry as a plain sentence: what was done or seen, where, and how much."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lattermath.desk.stand_ins import named_as
from lattermath.desk.what_was_seen import unit_of
from lattermath.knowledge.stage_words import stage_said
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import (
    Care,
    CupCheck,
    Event,
    Picking,
    PlotRow,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Visit,
    Watering,
    WeatherTaken,
)
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.sentence import inside
from lattermath.vocabulary.watering import WAY_SAID


def entry_words(event: Event, plot: Plot, tables: Tables) -> str:
    """Say one entry: its day and hour, what it tells, and its number in the journal."""
    teller = TELLERS.get(type(event.payload))
    words = event.kind if teller is None else teller(event.payload, plot, tables)
    return f"{said_with_hour(event.local)}, {words} (your record, entry {event.serial})"


def called(key: str | None, plot: Plot) -> str:
    """A planting, bed, lot or product as the grower calls it."""
    names = {one.key: one.name for one in plot.shelf}
    names |= {one.key: one.name for one in plot.beds}
    names |= {one.key: one.name for one in plot.plantings}
    return names.get(key or "", (key or "").replace("-", " "))


def _sighting(seen: Sighting, plot: Plot, tables: Tables) -> str:
    name = named_as(seen, tables.crosswalk)
    what, where = name or tables.named(seen.what), called(seen.planting, plot)
    found = [stage_said(seen.stage)] if seen.stage else []
    if seen.looked_at:
        one, unit = unit_of(seen, tables)
        hung = f" after {counted(seen.days, 'days')}" if seen.days else ""
        found.append(f"{counted(seen.looked_at, unit, one)} looked at{hung}")
    total = sum(seen.counts) if seen.counts else seen.total
    if total is not None:
        found.append(f"{total} with any" if seen.measure == "some" else f"{total} in all")
    if seen.level is not None:
        found.append(seen.level)
    if seen.percent is not None:
        side = {"top": " on top", "underside": " underneath"}.get(seen.surface, "")
        found.append(f"{seen.percent:g} % of the leaf{side}")
    return f"seen on {where}: {what}{', ' if found else ''}{', '.join(found)}"


def _treatment(done: Treatment, plot: Plot, tables: Tables) -> str:
    method = tables.methods.get(done.method)
    way = called(done.product, plot) if done.product else method.name if method else done.method
    where = " and ".join(called(key, plot) for key in done.plantings)
    against = f" against {tables.named(done.against)}" if done.against else ""
    litres = f", {measure(done.litres, 'l')}" if done.litres else ""
    return f"{where} treated with {way}{against}{litres}"


def _picking(done: Picking, plot: Plot, _: Tables) -> str:
    much = measure(done.kg, "kg") if done.kg is not None else ""
    much = much or (counted(done.items, "pieces") if done.items is not None else "some")
    return f"{much} of {called(done.planting, plot)} picked"


def _watering(done: Watering, plot: Plot, _: Tables) -> str:
    where = called(done.planting or done.bed, plot)
    return f"{measure(done.litres, 'l')} of water to {where}{WAY_SAID[done.way]}"


def _care(done: Care, plot: Plot, _: Tables) -> str:
    return f"{called(done.planting, plot)}: {done.work}"


def _pulling(done: Pulling, plot: Plot, _: Tables) -> str:
    much = "all" if done.plants is None else f"{done.plants}"
    return f"{much} of {called(done.planting, plot)} pulled, to {done.to}"


def _setting_out(done: SettingOut, plot: Plot, tables: Tables) -> str:
    crop = tables.crosswalk.named(done.crop, done.plants)
    return f"{done.plants} {crop} set out as {called(done.planting, plot)}"


def _sowing(done: Sowing, plot: Plot, tables: Tables) -> str:
    where = called(done.planting or done.bed, plot) or "cups"
    return f"{counted(done.seeds, 'seeds')} of {tables.crosswalk.named(done.crop)} sown in {where}"


def _cup_check(seen: CupCheck, plot: Plot, _: Tables) -> str:
    found = [] if seen.up is None else [f"{seen.up} of {seen.cups} came up"]
    found += [f"roots {seen.roots}"] if seen.roots else []
    name = next((one.called for one in plot.lots if one.key == seen.lot), called(seen.lot, plot))
    return f"{name} in cups: {', '.join(found)}"


def _plot_row(done: PlotRow, plot: Plot, _: Tables) -> str:
    """What was set up, or is not told yet, in the plot file or on its pages."""
    if done.section == "not known":
        if done.row is None:
            return "set up: told since, or not asked any more"
        says = str(done.row.get("says", "")).rstrip(".") or "something is not told"
        return f"set up: {inside(says)}"
    if done.section == "shelf" and done.row is not None:
        return f"the label of {done.row.get('name') or called(done.key, plot)} was changed"
    verb = ", taken out" if done.row is None else ""
    what = done.section if done.key in ("", "plot") else f"{done.section} {called(done.key, plot)}"
    return f"set up: {what}{verb}"


def _weather(done: WeatherTaken, _: Plot, __: Tables) -> str:
    return f"weather of {done.first} to {done.last} taken in from {done.file}"


def _visit(done: Visit, _: Plot, __: Tables) -> str:
    minutes = f" of {counted(done.minutes, 'minutes')}" if done.minutes else ""
    return f"a stay{minutes}{': ' if done.note else ''}{done.note}"


def _task(done: TaskDone, _: Plot, __: Tables) -> str:
    return f"task {done.task} {done.how}{': ' if done.note else ''}{done.note}"


TELLERS: dict[type, Callable[[Any, Plot, Tables], str]] = {
    Sighting: _sighting,
    Treatment: _treatment,
    Picking: _picking,
    Watering: _watering,
    Care: _care,
    Pulling: _pulling,
    SettingOut: _setting_out,
    Sowing: _sowing,
    CupCheck: _cup_check,
    PlotRow: _plot_row,
    WeatherTaken: _weather,
    TaskDone: _task,
    Visit: _visit,
}
