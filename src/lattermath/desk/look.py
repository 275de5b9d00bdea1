"""What to look at on a planting, and what may be behind what was seen there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.diagnose import Diagnosis, diagnose
from lattermath.desk.log_names import planting_key
from lattermath.desk.look_facts import Known, known_of
from lattermath.desk.sky import sky_of
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.symptom_words import meant
from lattermath.knowledge.tables import Tables
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError
from lattermath.vocabulary.plot import Planting


@dataclass(frozen=True, slots=True)
class Looked:
    """One planting, what was taken as seen and as not seen, what the record knew, the causes."""

    planting: Planting
    seen: tuple[str, ...]
    not_seen: tuple[str, ...]
    known: Known
    found: Diagnosis
    tables: Tables


def look(
    path: Path | str,
    words: str,
    seen: tuple[str, ...],
    not_seen: tuple[str, ...],
    on: date | None = None,
) -> Looked:
    """Weigh what may be behind what was seen on a planting, as of now or of a day.

    Words may be ids or the grower's own. What the grower answered outranks what the record says.
    InputError where a word is not known, or could mean several things.
    """
    folder = folder_at(path)
    tables = tables_of(folder)
    with open_journal(folder) as journal:
        events = effective(journal.events())
        zone = plot_as_of(events, date.max).place.time_zone
        today = on or clock.now().astimezone(ZoneInfo(zone)).date()
        past = tuple(event for event in events if event.day <= today)
        plot = plot_as_of(events, today)
        try:
            record = sky_of(journal, past, today).record
        except WeatherFileError:
            record = None
    key = planting_key(plot, words)
    planting = next(p for p in plot.plantings if p.key == key)
    yes = tuple(_sign(tables, said, "--seen") for said in seen)
    no = tuple(_sign(tables, said, "--not") for said in not_seen)
    known = known_of(planting, past, record, today, tables)
    answered = {*yes, *no}
    found = diagnose(
        tables,
        planting.crop,
        plot.place.region,
        (*yes, *(s for s in known.present if s not in answered)),
        (*no, *(s for s in known.absent if s not in answered)),
        known.factors,
    )
    return Looked(planting, yes, no, known, found, tables)


def _sign(tables: Tables, words: str, where: str) -> str:
    found = meant(words, tables.crosswalk)
    if len(found) == 1:
        return found[0]
    if found:
        remedy = f"It could be {' or '.join(found)}: write one of these, or say more."
        raise InputError(Fault("this could mean several things", where, words, remedy))
    near = tables.crosswalk.nearest_symptom(words)
    meant_so = f"Did you mean {' or '.join(near)}? " if near else ""
    what = "these words are not known as something seen on a plant"
    remedy = f"{meant_so}Say what you see in other words, as in: white powder, holes in leaves."
    raise InputError(Fault(what, where, words, remedy))
