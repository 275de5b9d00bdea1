"""What to look at on a planting, and what may be behind what was seen there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.diagnose import Diagnosis, diagnose, signs_of
from lattermath.desk.log_names import planting_key
from lattermath.desk.look_by_plan import PlannedLook, looks_planned, water_by_plan
from lattermath.desk.look_facts import Known, known_of
from lattermath.desk.look_reckoned import without_key
from lattermath.desk.sky import sky_of
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.symptom_words import (
    is_general,
    meant,
    nearest,
    parted,
    telling,
    without,
)
from lattermath.knowledge.tables import Tables
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError
from lattermath.vocabulary.plot import Planting

MOST_OFFERED = 8  # meanings told at once
MORE = "Or say more of it: where it sits, its colour, its edge, what is underneath."


@dataclass(frozen=True, slots=True)
class Looked:
    """One planting, what was taken as seen and as not seen, what the record knew, the causes.

    planned : the looks that the newest plan asks of it.
    unread  : parts of what was said in which no sign was found, beside those that had one.
    """

    planting: Planting
    seen: tuple[str, ...]
    not_seen: tuple[str, ...]
    known: Known
    found: Diagnosis
    tables: Tables
    planned: tuple[PlannedLook, ...] = ()
    unread: tuple[str, ...] = ()


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
        water = water_by_plan(journal, key, today)
        planned = looks_planned(journal, key, today)
    planting = next(p for p in plot.plantings if p.key == key)
    if tables.crosswalk.diagnosed_as(planting.crop) is None:
        raise InputError(without_key(tables, planting))
    told = [signs_meant(tables, planting, said, "--seen") for said in seen]
    yes = tuple(dict.fromkeys(sign for signs, _ in told for sign in signs))
    no = tuple(sign_meant(tables, planting, said, "--not") for said in not_seen)
    known = known_of(planting, past, record, today, tables, water, plot.place.latitude, yes)
    answered = {*yes, *no}
    found = diagnose(
        tables,
        planting.crop,
        plot.place.region,
        (*yes, *(s for s in (*known.present, *known.found) if s not in answered)),
        (*no, *(s for s in known.absent if s not in answered)),
        known.factors,
        known.settled,
    )
    unread = tuple(part for _, parts in told for part in parts)
    return Looked(planting, yes, no, known, found, tables, planned, unread)


def signs_meant(
    tables: Tables, planting: Planting, words: str, where: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Every sign that a saying names on this crop, and the parts in which none was found.

    It is taken part by part where one part tells what the whole would be taken for, and another
    tells more; InputError where a part could mean several things, or the whole means nothing.
    """
    among, parts = signs_of(tables, planting.crop), parted(words)
    found = {part: meant(part, tables.crosswalk, among) for part in parts}
    clear = {
        ids[0]: part
        for part, ids in found.items()
        if len(ids) == 1 and not is_general(part, tables.crosswalk, among)
    }
    whole = meant(words, tables.crosswalk, among)
    if len(parts) < 2 or not clear or (len(whole) == 1 and whole[0] not in clear):
        return (sign_meant(tables, planting, words, where),), ()
    if whole and telling(words) <= telling(clear.get(whole[0], "")):
        return (whole[0],), ()
    for part, ids in found.items():
        if ids and ids[0] not in clear and not set(ids) & set(clear):
            sign_meant(tables, planting, part, where)  # asks which
    texts = tables.crosswalk.sign_texts
    read = {word for sign in clear for word in telling(texts.get(sign, sign))}
    unread = (part for part, ids in found.items() if not ids and not telling(part) <= read)
    return tuple(clear), tuple(unread)


def sign_meant(tables: Tables, planting: Planting, words: str, where: str) -> str:
    """The sign that a saying means on this crop; InputError with what it may mean.

    The crop's own name tells nothing, or its fruit: "no beans", "the kale is wilting".
    """
    among = signs_of(tables, planting.crop)
    crop = (planting.name, *(tables.crosswalk.named(planting.crop, n) for n in (1, 2)))
    ways = (words, without(words, crop, "fruit"), without(words, crop))
    taken = ((way, meant(way, tables.crosswalk, among)) for way in ways)
    way, found = next(((way, ids) for way, ids in taken if ids), ("", ()))
    near = nearest(words, tables.crosswalk, among)
    if len(found) == 1:
        if not is_general(way, tables.crosswalk, among):
            return found[0]
        remedy = f"If it is one of these, say so: {_offered(tables, _with(found, near))}. {MORE}"
        raise InputError(Fault("this is said of many things", where, words, remedy))
    if found:
        remedy = f"Look again, and say which: {_offered(tables, found)}."
        raise InputError(Fault("this could mean several things", where, words, remedy))
    meant_so = f"Did you mean: {_offered(tables, near)}? " if near else ""
    what = "these words are not known as something seen on a plant"
    remedy = f"{meant_so}Say what you see in other words, as in: white powder, holes in leaves."
    if name := tables.crosswalk.kind(words) or tables.crosswalk.organism(words):
        remedy += f" If you know it is that: lattermath log count {planting.key} {name} 12,0,3."
    raise InputError(Fault(what, where, words, remedy))


def _with(found: tuple[str, ...], near: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*found, *near)))


def _offered(tables: Tables, signs: tuple[str, ...]) -> str:
    """Signs in their own words, which are taken as they stand here."""
    return "; or ".join(tables.crosswalk.sign_texts[sign] for sign in signs[:MOST_OFFERED])
