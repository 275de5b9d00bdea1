"""Unfold a piece of advice down to journal entries, readings, table rows and sources."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from lattermath.desk.addresses import Ground, looked_up, unfold
from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.sky import sky_of
from lattermath.desk.why_frost import WORDS as OF_FROST
from lattermath.desk.why_frost import about_frost
from lattermath.desk.wiring import Folder, folder_at, open_journal, tables_of
from lattermath.record.journal import Journal
from lattermath.record.read_back import effective, plot_as_of
from lattermath.sheets.wording import PARTS as SHEET_PARTS
from lattermath.sheets.wording import WHO
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.sentence import capital

NOT_CLEAR = "Not known when it is clear"
PARTS = tuple(SHEET_PARTS)
LEAST_ID = 6  # letters of a task id, so that a short number is one of the sheet
LONG = 100  # letters
MOST_ENTRIES = 5  # judgement: the newest of what was written down by one word


def why(path: Path | str, address: str) -> list[str]:
    """Give the reasons of one thing as lines, indented by depth.

    `address` is a number of the last sheet, a task id of any kept one, a planting or organism (its
    verdict, clearance, course), `frost`, or an address such as `rule:bloom`. InputError, with the
    nearest names, when no kept plan holds such a thing.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        plan = _last_plan(journal)
        ground = _ground(journal, plan, folder)
        if ":" in address:
            return [looked_up(address, ground)]
        keys = _meant(plan, address, ground)
        found = [one for key in keys for one in _things(plan, key)] or _of_older(journal, keys[0])
        if not found and address.strip().casefold() in OF_FROST:
            found = [about_frost(plan, ground)]
        found = found or _only_logged(address, keys, ground)
    if not found:
        raise InputError(_unknown(plan, address))
    lines: list[str] = []
    newer = max((e.serial for e in ground.events), default=0) - plan["stamp"]["serial"]
    if newer > 0:
        are = "entry is" if newer == 1 else "entries are"
        lines.append(f"{newer} {are} newer than this plan: run `lattermath plan` first.")
    for head, reasons in found:
        lines.append(capital(head))
        for reason in reasons:
            lines += _reason(reason, ground, lines)
    return lines


def _meant(plan: dict[str, Any], address: str, ground: Ground) -> tuple[str, ...]:
    """The keys that a sheet number, a name or a word for an organism stands for; one, but for the
    word of a kind, which stands for every species of it that the plan reckons with."""
    if address.isdigit() and plan["visits"] and len(address) < LEAST_ID:
        there = [t for t in plan["visits"][0]["tasks"] if t["part"] in PARTS]
        ranked = sorted(there, key=lambda task: PARTS.index(task["part"]))
        if 0 < int(address) <= len(ranked):
            return (str(ranked[int(address) - 1]["id"]),)
    word, crosswalk = address.strip().casefold(), ground.tables.crosswalk
    names = {str(name).casefold(): str(key) for key, name in plan["names"]}
    keys = {str(key) for key, _ in plan["names"]}
    if address in keys:
        return (address,)
    reckoned = {str(one["organism"]) for one in plan["populations"]}
    kind = crosswalk.kind(word)
    species = () if kind is None else (kind, *crosswalk.kinds.get(kind, ()))
    named = {str(key) for key, name in plan["names"] if str(name).casefold() == word}
    if named <= reckoned and (here := tuple(one for one in species if one in reckoned)):
        return tuple(sorted(named)) if named and crosswalk.stood_in(word) else here
    if len(named) > 1 and named <= reckoned:  # several species that were logged by one word
        return tuple(sorted(named))
    tabled = crosswalk.organism(word) or crosswalk.disease(word)
    return (names.get(word) or tabled or crosswalk.crop(word) or address,)


def _of_older(journal: Journal, task: str) -> list[tuple[str, list[dict[str, Any]]]]:
    """A task of an older sheet, the newest that has it."""
    for plan in kept_sheets(journal):
        for day, held in tasks_of(plan):
            if held["id"] == task:
                return [(f"{_day(day)}, by an older sheet: {held['says']}", held["because"])]
    return []


def _only_logged(
    address: str, keys: tuple[str, ...], ground: Ground
) -> list[tuple[str, list[dict[str, Any]]]]:
    """What was written down as seen, by that word, and is reckoned in no plan."""
    typed = address.strip().casefold()
    words = {typed, typed.replace("_", " "), *keys}
    seen = [
        (event.serial, event.payload.what)
        for event in effective(ground.events)
        if isinstance(event.payload, Sighting)
        and {event.payload.what.casefold(), ground.tables.named(event.payload.what)} & words
    ]
    if not seen:
        return []
    reason = {
        "says": "it was written down, and nothing is reckoned from it",
        "who": "",
        "holds": True,
        "rests_on": [f"event:{serial}" for serial, _ in reversed(seen)][:MOST_ENTRIES],
        "way_out": "where it has a name that is reckoned, write it down by that",
    }
    return [(f"{ground.tables.named(seen[-1][1])}: seen, and not reckoned", [reason])]


def _unknown(plan: dict[str, Any], address: str) -> Fault:
    told = {str(name) for key, name in plan["names"] if next(_things(plan, str(key)), None)}
    known = {name.casefold(): name for name in told}
    near = difflib.get_close_matches(address.casefold(), known, n=3, cutoff=0.5)
    nearest = f"Nearest: {', '.join(known[name] for name in near)}. " if near else ""
    remedy = (
        f"{nearest}Give a number of the last sheet, a task's id, a planting, an organism or frost."
    )
    return Fault("no kept plan holds such a thing", "why", address, remedy)


def _day(iso: str) -> str:
    return said(datetime.fromisoformat(iso).date())


def _things(plan: dict[str, Any], address: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    names = dict(plan["names"])
    yield from _at_visits(plan, address)
    for verdict in plan["verdicts"]:
        if verdict["planting"] == address:
            name, says = names.get(address, address), verdict["says"]
            told = says if says.casefold().startswith(name.casefold()) else f"{name}: {says}"
            yield told, verdict["because"]
    for clearance in plan["picking"]:
        if clearance["planting"] == address:
            when = _day(plan["as_of"])
            yield f"{_cleared(clearance)}, by the plan of {when}", clearance["barred_by"]
    for population in plan["populations"]:
        if address == population["organism"]:
            yield population["says"], population["because"]
    for advice in plan["standby"]:
        if address in (advice["lot"], advice["crop"]):
            yield advice["says"], advice["because"]


def _cleared(clearance: dict[str, Any]) -> str:
    if clearance["clear_now"]:
        return "May be picked"
    when = clearance["safe_from"]
    return (
        f"May be picked from {said_with_hour(datetime.fromisoformat(when))}" if when else NOT_CLEAR
    )


def _at_visits(plan: dict[str, Any], address: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    for day, task in tasks_of(plan):
        if task["id"] == address:
            yield f"{_day(day)}: {task['says']}", task["because"]
    for visit in plan["visits"]:
        for bar in visit["not_today"]:
            if bar["planting"] == address:
                yield f"{_day(visit['date'])}: {bar['what']}", bar["because"]


def _reason(reason: dict[str, Any], ground: Ground, before: list[str]) -> list[str]:
    """One reason, who says so, and what it rests on; long words are not said twice."""
    who = WHO.get(reason["who"], reason["who"])
    voice = f" ({'' if reason['holds'] else 'forbidden by: '}{who or 'reckoned'})"
    lines = [f"  {reason['says'].rstrip('.')}{voice if who or not reason['holds'] else ''}"]
    for address in reason["rests_on"]:
        line = f"      {unfold(address, ground)}"
        known = line in before and len(line) > LONG
        lines.append(f"{line.partition(': ')[0]}: as above" if known else line)
    if not reason["holds"] and reason.get("lapses"):
        lines.append(f"      until: {said_with_hour(datetime.fromisoformat(reason['lapses']))}")
    if reason["way_out"]:
        lines.append(f"      instead: {reason['way_out']}")
    return lines


def _last_plan(journal: Journal) -> dict[str, Any]:
    plan = next(kept_sheets(journal), None)
    if plan is None:
        raise InputError(Fault("no plan was made yet", "why", "", "Run `lattermath plan` first."))
    return plan


def _ground(journal: Journal, plan: dict[str, Any], folder: Folder) -> Ground:
    day = datetime.fromisoformat(plan["as_of"]).date()
    events = journal.events()
    try:
        record = sky_of(journal, events, day).record.until(day)
    except WeatherFileError:
        record = None
    return Ground(plot_as_of(events, day), events, tables_of(folder), record)
