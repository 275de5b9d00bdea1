"""Digests that tie each entry to the one before, and readings to the entry that brought them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from datetime import date

FIRST_DIGEST = hashlib.sha256(b"lattermath journal 1").hexdigest()

Number = float | None

Reading = tuple[
    date,
    Number,
    Number,
    Number,
    Number,
    Number,
    Number,
    Number,
    tuple[str, ...],
    Number,
    date | None,
]
"""One day: date, t_min and t_max [C], rain [mm], rh [%], wind [m/s], solar [MJ/m2], et0 [mm],
marks, chance of rain [0 to 1], day on which a rain total of several days was read.

None is missing, which is never zero.
"""

StoredEntry = tuple[int, str, str, int, str, str, str, str, str | None]
"""serial, id, kind, version, happened_at, zone, recorded_at, payload, supersedes: as stored."""


def entry_digest(before: str, entry: StoredEntry) -> str:
    """SHA-256 in hex of an entry and of the digest of the entry before it."""
    text = json.dumps([before, *entry], separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def readings_digest(rows: Iterable[Reading]) -> str:
    """SHA-256 in hex of readings in the order of their days."""
    digest = hashlib.sha256()
    for row in sorted(rows, key=lambda row: row[0]):
        # 0.0 is added because the store gives a negative zero back as zero
        numbers = ["" if n is None else repr(n + 0.0) for n in numbers_of(row)]
        days = [row[0].isoformat(), "" if row[10] is None else row[10].isoformat()]
        line = "\t".join([*days, *numbers, marks_text(row[8])])
        digest.update(line.encode() + b"\n")
    return digest.hexdigest()


def numbers_of(row: Reading) -> tuple[Number, ...]:
    """The eight numbers of a reading: those of the day, then the chance of rain."""
    return (*row[1:8], row[9])


def marks_text(marks: tuple[str, ...]) -> str:
    """Marks of a reading as the text under which they are kept."""
    return json.dumps(list(marks), ensure_ascii=False) if marks else ""


def marks_of(text: str) -> tuple[str, ...]:
    """Marks of a reading from their kept text."""
    return tuple(json.loads(text)) if text else ()
