"""What to look at on a planting, and what may be behind what was seen there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.diagnose import Diagnosis, diagnose
from lattermath.desk.log_names import planting_key
from lattermath.desk.look_by_plan import PlannedLook, looks_planned, odds_by_plan, water_by_plan
from lattermath.desk.look_facts import Known, known_of
from lattermath.desk.look_reckoned import without_key
from lattermath.desk.sayings_read import Taken, taken
from lattermath.desk.sky import sky_of
from lattermath.desk.stand_ins import all_by_kind
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.tables import Tables
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.calendar import said as said_day
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError
from lattermath.vocabulary.plot import Planting, Plot

NOTHING_SAID = Taken((), ())


@dataclass(frozen=True, slots=True)
class Looked:
    """One planting, what was taken as seen and as not seen, what the record knew, the causes.

    planned : the looks that the newest plan asks of it.
    said    : what else was made of the words: parts not read, what is asked back, enemies named.
    at_odds : what the newest plan found at odds with belief there, with the look that would tell.
    taken   : the region whose causes are weighed, where only its place on the globe says it.
    """

    planting: Planting
    seen: tuple[str, ...]
    not_seen: tuple[str, ...]
    known: Known
    found: Diagnosis
    tables: Tables
    planned: tuple[PlannedLook, ...] = ()
    said: Taken = NOTHING_SAID
    taken: str = ""
    at_odds: tuple[str, ...] = ()


def look(
    path: Path | str,
    words: str,
    seen: tuple[str, ...],
    not_seen: tuple[str, ...],
    on: date | None = None,
) -> Looked:
    """Weigh what may be behind what was seen on a planting, as of now or of a day.

    Words may be ids or the grower's own. What the grower answered outranks what the record says.
    What is not known, or could mean several things, is asked back beside what is clear.
    InputError where nothing is, and where all was pulled.
    """
    folder = folder_at(path)
    tables = tables_of(folder)
    with open_journal(folder) as journal:
        events = effective(journal.events())
        zone = plot_as_of(events, date.max).place.time_zone
        today = on or clock.now().astimezone(ZoneInfo(zone)).date()
        past = all_by_kind((e for e in events if e.day <= today), tables.crosswalk)
        plot = plot_as_of(events, today)
        try:
            # Weather taken in later tells of days up to this one, as a plan of that day has it.
            record = sky_of(journal, events, today).record.until(today)
        except WeatherFileError:
            record = None
        key = planting_key(plot, words)
        planting = next(p for p in plot.plantings if p.key == key)
        _refuse_what_is_gone(planting, plot, today)
        water = water_by_plan(journal, key, today)
        planned = looks_planned(journal, key, today)
        at_odds = odds_by_plan(journal, planting.name, today)
    if tables.crosswalk.diagnosed_as(planting.crop) is None:
        raise InputError(without_key(tables, planting))
    said = taken(tables, planting, seen, not_seen)
    yes, no = said.seen, said.not_seen
    place = plot.place
    known = known_of(
        planting, past, record, today, tables, water, place.latitude, yes, place.lies_in
    )
    answered = {*yes, *no}
    found = diagnose(
        tables,
        planting.crop,
        place.lies_in,
        (*yes, *(s for s in (*known.present, *known.found) if s not in answered)),
        (*no, *(s for s in known.absent if s not in answered)),
        known.factors,
        known.settled,
    )
    where = place.lies_in if place.lies_in != place.region else ""
    return Looked(planting, yes, no, known, found, tables, planned, said, where, at_odds)


def _refuse_what_is_gone(planting: Planting, plot: Plot, today: date) -> None:
    """Nobody looks at plants that are out; on the evening of it they may still lie there."""
    if planting.pulled is None or planting.pulled >= today:
        return
    standing = ", ".join(one.key for one in plot.standing()) or "none"
    remedy = f"Standing are: {standing}. If it was not pulled, withdraw that entry first."
    what = f"all of it was pulled on {said_day(planting.pulled)}"
    raise InputError(Fault(what, "planting", planting.name, remedy))
