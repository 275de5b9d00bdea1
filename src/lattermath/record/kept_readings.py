"""Readings of weather files, kept beside the journal under the digest their entry carries."""

from __future__ import annotations

import dataclasses
import math
import sqlite3
from collections.abc import Sequence
from datetime import date

from lattermath.record.chain import Reading, marks_of, marks_text, numbers_of, readings_digest
from lattermath.vocabulary.errors import Fault, JournalError
from lattermath.vocabulary.events import Payload, WeatherTaken


def vouched(payload: Payload, rows: Sequence[Reading]) -> WeatherTaken:
    """The payload with the digest of its rows; JournalError when it does not describe them."""
    if not isinstance(payload, WeatherTaken):
        raise _refused("readings come with a weather entry", type(payload).__name__)
    days = [row[0] for row in rows]
    if not days or len(set(days)) != len(days):
        raise _refused("readings need at least one day, and each day once", str(len(days)))
    told = [v for row in rows for v in numbers_of(row) if v is not None]
    if not all(map(math.isfinite, told)):
        raise _refused("a missing value is left out, never a number that is none", "nan")
    found = (min(days), max(days), len(days))
    if found != (payload.first, payload.last, payload.days):
        raise _refused(
            "first day, last day and number of days are not those of the readings",
            f"{payload.first} {payload.last} {payload.days}",
        )
    digest = readings_digest(rows)
    if payload.readings_digest not in ("", digest):
        raise _refused("the digest is not that of the readings", payload.readings_digest)
    return dataclasses.replace(payload, readings_digest=digest)


def keep(connection: sqlite3.Connection, serial: int, rows: Sequence[Reading]) -> None:
    """Write the readings of one entry, inside the write that the caller began."""
    marks = ", ".join("?" * 12)
    connection.executemany(
        f"INSERT INTO reading VALUES ({marks})",
        (
            (
                serial,
                row[0].isoformat(),
                *row[1:8],
                marks_text(row[8]),
                row[9],
                None if row[10] is None else row[10].isoformat(),
            )
            for row in rows
        ),
    )


def readings_of(connection: sqlite3.Connection, serial: int) -> list[Reading]:
    """The readings of one entry, by day."""
    query = (
        "SELECT day, t_min, t_max, rain, rh, wind, solar, et0, marks, rain_chance, rain_known "
        "FROM reading WHERE entry = ? ORDER BY day"
    )
    as_day = date.fromisoformat
    return [
        (
            as_day(day),
            *numbers,
            marks_of(marks),
            chance,
            None if known is None else as_day(known),
        )
        for day, *numbers, marks, chance, known in connection.execute(query, (serial,))
    ]


def _refused(what: str, found: str) -> JournalError:
    return JournalError(Fault(what, "weather readings", found, "Nothing was written."))
