"""The whole journal in open forms: one JSON document, or a folder with a CSV file for each kind."""

from __future__ import annotations

import csv
import dataclasses
import json
import os
import shutil
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, TextIO

from lattermath.record.chain import Reading
from lattermath.record.codec import to_plain
from lattermath.record.effective import effective, of_kind
from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import Fault, JournalError
from lattermath.vocabulary.events import KINDS, Event, WeatherTaken

SCHEMA_VERSION = 1
READING_COLUMNS = (
    "day",
    "t_min_c",
    "t_max_c",
    "rain_mm",
    "rh_percent",
    "wind_m_s",
    "solar_mj_m2",
    "et0_mm",
    "marks",
    "rain_chance",
    "rain_known",
)
ENTRY_COLUMNS = (
    "serial",
    "id",
    "kind",
    "version",
    "happened_at",
    "local",
    "zone",
    "recorded_at",
    "supersedes",
    "stands",
)


def write_json(journal: Journal, out: TextIO) -> None:
    """Write everything the journal holds as one JSON document with its `schema_version`.

    Entries that were corrected or withdrawn are there too, with `stands` false. Times are
    ISO 8601, `happened_at` in UTC and `local` by the plot's clock. Written piece by piece.
    """
    events = journal.events()
    out.write(f'{{"schema_version": {SCHEMA_VERSION},\n"entries": ')
    _write_list(
        out, (_entry(e, stands) | {"payload": to_plain(e.payload)} for e, stands in _all(events))
    )
    columns = json.dumps(READING_COLUMNS)
    out.write(f',\n"reading_columns": {columns},\n"readings": ')
    taken = (event for event, _ in of_kind(events, WeatherTaken))
    _write_list(
        out,
        ({"entry": e.serial, "rows": [*map(to_plain, journal.readings(e.serial))]} for e in taken),
    )
    out.write(',\n"plans": ')
    plans = ((kept, journal.plan(kept.stamp)) for kept in journal.plans())
    _write_list(out, (to_plain(kept) | {"text": text} for kept, text in plans))
    out.write("}\n")


def write_csv(journal: Journal, folder: Path) -> tuple[Path, ...]:
    """Write a folder with one CSV file for each kind that has entries, and one of readings.

    Gives the files written. The folder must not be there yet; it appears whole or not at all.
    Lists and tables inside a field are JSON. Plans are only in the JSON document.
    """
    if folder.exists():
        remedy = "Name a folder that is not there yet; nothing was written."
        raise JournalError(Fault("this folder is there already", str(folder), "", remedy))
    making = folder.with_name(f".{folder.name}.{os.getpid()}.new")
    shutil.rmtree(making, ignore_errors=True)
    try:
        making.mkdir(parents=True)
        names = _write_files(journal, making)
        making.rename(folder)
    except OSError as fault:
        remedy = "Name another folder; nothing was written."
        raise JournalError(
            Fault("the folder cannot be written", str(folder), str(fault), remedy)
        ) from fault
    finally:
        shutil.rmtree(making, ignore_errors=True)
    return tuple(folder / name for name in names)


def _write_files(journal: Journal, folder: Path) -> list[str]:
    """One file a kind, in the order of the kinds; names of the files."""
    events = journal.events()
    names = []
    for kind, payload_type in KINDS.items():
        rows = [(event, stands) for event, stands in _all(events) if event.kind == kind]
        if rows:
            names.append(f"{kind.replace(' ', '-')}.csv")
            fields = [field.name for field in dataclasses.fields(payload_type)]
            lines = ([*_entry(e, stands).values(), *_cells(e, fields)] for e, stands in rows)
            _write_table(folder / names[-1], (*ENTRY_COLUMNS, *fields), lines)
    taken = [event for event, _ in of_kind(events, WeatherTaken)]
    if taken:
        names.append("readings.csv")
        lines = (_reading_line(e.serial, row) for e in taken for row in journal.readings(e.serial))
        _write_table(folder / names[-1], ("entry", *READING_COLUMNS), lines)
    return names


def _all(events: Sequence[Event]) -> Iterator[tuple[Event, bool]]:
    """Every entry, and whether it stands."""
    counting = {event.id for event in effective(events)}
    return ((event, event.id in counting) for event in events)


def _entry(event: Event, stands: bool) -> dict[str, Any]:
    values = (
        event.serial,
        event.id,
        event.kind,
        event.version,
        event.happened_at.isoformat(),
        event.local.isoformat(),
        event.zone,
        event.recorded_at.isoformat(),
        event.supersedes,
        stands,
    )
    return dict(zip(ENTRY_COLUMNS, values, strict=True))


def _cells(event: Event, fields: Iterable[str]) -> Iterator[Any]:
    plain = to_plain(event.payload)
    for field in fields:
        value = plain[field]
        nested = isinstance(value, (list, dict))
        yield json.dumps(value, ensure_ascii=False) if nested else value


def _reading_line(serial: int, row: Reading) -> list[Any]:
    return [serial, *(" | ".join(v) if isinstance(v, tuple) else v for v in row)]


def _write_table(path: Path, columns: Iterable[str], lines: Iterable[Sequence[Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        writer.writerows(lines)


def _write_list(out: TextIO, items: Iterable[Any]) -> None:
    out.write("[")
    for n, item in enumerate(items):
        out.write(",\n" if n else "\n")
        out.write(json.dumps(item, ensure_ascii=False, allow_nan=False))
    out.write("]")
