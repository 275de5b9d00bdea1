"""Reads a plot's folder into the facts that a plan is made from."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.frost import with_frost_visit, without_frosted
from lattermath.desk.plot_edits import as_if, bring_up, read_file
from lattermath.desk.season_facts import SeasonFacts, gather
from lattermath.desk.sky import sky_of
from lattermath.desk.stand_ins import all_by_kind
from lattermath.desk.wiring import Folder, tables_of
from lattermath.record.journal import Journal
from lattermath.record.plot_file import PlotFile
from lattermath.record.read_back import (
    effective,
    end_of_day,
    months_typed,
    plot_as_of,
    treatments,
)
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, PlotRow
from lattermath.weather.usual_course import MonthNormal

MOST_DAYS_AHEAD = 366  # judgement: beyond a year nothing that stands now is left


def facts_of(
    folder: Folder,
    journal: Journal,
    on: date | None,
    as_known: date | None,
    instead: PlotFile | None = None,
    at: datetime | None = None,
) -> SeasonFacts:
    """Give the facts as of now or of a day, from all that is known or was known by `as_known`.

    What was edited in plot.toml becomes entries first, unless the plan looks back at what was
    known. A plot file `instead` of it is read as if it had been written down that day; nothing of
    it becomes an entry. As of the instant `at` of that day, where it is given.
    """
    if as_known is None and (file := read_file(folder, clock.now())) is not None:
        bring_up(journal, file, clock.now())
    every = journal.events()
    zone = _zone(every)
    begins = datetime.combine(_asked_day(on, zone), time(), ZoneInfo(zone))
    every = (*every, *as_if(every, instead, begins))
    until = None if as_known is None else end_of_day(as_known, zone)
    known = effective(every, until)
    day = _asked_day(on, zone)
    plot = plot_as_of(known, day)
    now = at or clock.planning_instant(on, plot.place.time_zone, plot.visiting.arrive)
    today = now.date()
    tables = tables_of(folder)
    past = all_by_kind((event for event in known if event.day <= today), tables.crosswalk)
    normals = {
        row.month: MonthNormal(row.low_c, row.high_c, row.rain_mm)
        for row in months_typed(known, today)
    }
    sky = sky_of(journal, known, today)
    facts = gather(
        plot,
        past,
        tuple(a for a in treatments(known) if a.at.date() <= today),
        tables,
        sky,
        normals,
        now,
        _last_read(every, until),
        sky.leaf_hours,
    )
    return with_frost_visit(without_frosted(facts))


def _last_read(every: tuple[Event, ...], until: datetime | None) -> int:
    """Serial of the last entry read, withdrawals too: without one withdrawn it is another plan."""
    read = (event.serial for event in every if until is None or event.recorded_at <= until)
    return max(read, default=0)


def _asked_day(on: date | None, zone: str) -> date:
    """The day asked about, or today by the plot's own clock, which may be ahead of UTC's."""
    here = clock.now().astimezone(ZoneInfo(zone)).date()
    if on is not None and (on - here).days > MOST_DAYS_AHEAD:
        remedy = f"Ask for a day up to {here + timedelta(days=MOST_DAYS_AHEAD)}."
        raise InputError(Fault("nothing can be said so far ahead", "--on", str(on), remedy))
    return here if on is None else on


def _zone(events: tuple[Event, ...]) -> str:
    return next((e.zone for e in reversed(events) if isinstance(e.payload, PlotRow)), "UTC")
