"""Reads back the JSON document that `export` writes: entries, readings, plans.

The CSV files of an export are for spreadsheets and are not read back.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from lattermath.record.chain import Reading
from lattermath.record.codec import VERSIONS, from_plain
from lattermath.record.export import READING_COLUMNS, SCHEMA_VERSION
from lattermath.record.journal import Entry
from lattermath.record.kept_plans import KeptPlan
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import KINDS, Event, Payload

REMEDY = "Give the folder that `lattermath export` wrote, or its journal.json; nothing was written."


@dataclass(frozen=True, slots=True)
class Exported:
    """Everything that an export holds, as it was in the journal that it came from."""

    events: tuple[Event, ...]
    readings: Mapping[str, tuple[Reading, ...]]  # by the id of the entry that brought them
    plans: tuple[tuple[KeptPlan, str], ...]  # with their texts

    @property
    def entries(self) -> tuple[tuple[Entry, datetime], ...]:
        """Entries to be written, each with the instant at which it was first recorded."""
        return tuple(
            (Entry(e.happened_at, e.zone, e.payload, e.supersedes, e.id), e.recorded_at)
            for e in self.events
        )


def read_export(text: str, where: str) -> Exported:
    """The export in a JSON text; InputError, and nothing else, where it is none or is damaged.

    where : the file, for a refusal.
    """
    try:
        told = json.loads(text)
        version = told["schema_version"]
        if version != SCHEMA_VERSION:
            raise _refused("this export is of another version", where, str(version))
        if told["reading_columns"] != list(READING_COLUMNS):
            raise _refused("the columns of the readings are not known", where, "")
        events = tuple(_event(one, where) for one in told["entries"])
        ids = {event.serial: event.id for event in events}
        readings = {
            ids[one["entry"]]: tuple(map(_reading, one["rows"])) for one in told["readings"]
        }
        plans = tuple((KeptPlan(p["stamp"], p["as_of"]), _text(p["text"])) for p in told["plans"])
    except (ValueError, KeyError, TypeError, IndexError, AttributeError, RecursionError) as fault:
        raise _refused("this is no export, or it is damaged", where, str(fault)[:80]) from fault
    if [event.serial for event in events] != list(range(1, len(events) + 1)):
        raise _refused("entries are missing or out of order", where, "")
    return Exported(events, readings, plans)


def _event(told: dict[str, Any], where: str) -> Event:
    kind = told["kind"]
    if kind not in KINDS or told["version"] > VERSIONS[kind]:
        found = f"{kind}, version {told['version']}"
        raise _refused("this kind of entry is not known to this program", where, found)
    payload: Payload = from_plain(KINDS[kind], told["payload"])
    happened, recorded = (datetime.fromisoformat(told[k]) for k in ("happened_at", "recorded_at"))
    if happened.tzinfo is None or recorded.tzinfo is None:
        raise ValueError("an instant has no time zone")
    return Event(
        int(told["serial"]), _text(told["id"]), kind, VERSIONS[kind], happened, _text(told["zone"]),
        recorded, payload, told["supersedes"],
    )  # fmt: skip


def _text(told: Any) -> str:
    if not isinstance(told, str):
        raise ValueError(f"{told!r} is no text")
    return told


def _reading(row: Sequence[Any]) -> Reading:
    if len(row) != len(READING_COLUMNS):
        raise ValueError("a reading has too few or too many columns")
    known = None if row[10] is None else date.fromisoformat(row[10])
    tmin, tmax, rain, rh, wind, solar, et0 = map(_number, row[1:8])
    marks = tuple(map(_text, row[8]))
    day = date.fromisoformat(row[0])
    return (day, tmin, tmax, rain, rh, wind, solar, et0, marks, _number(row[9]), known)


def _number(told: Any) -> float | None:
    if told is None:
        return None
    if isinstance(told, bool) or not isinstance(told, (int, float)):
        raise ValueError(f"{told!r} is no number")
    return float(told)


def _refused(what: str, where: str, found: str) -> InputError:
    return InputError(Fault(what, where, found, REMEDY))
