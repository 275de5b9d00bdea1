"""Digests that tie each entry to the one before, and readings to the entry that brought them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from datetime import date

FIRST_DIGEST = hashlib.sha256(b"lattermath journal 1").hexdigest()

Reading = tuple[
    date,
    float | None,
    float | None,
    float | None,
    float | None,
    float | None,
    float | None,
    float | None,
    str,
]
"""One day: date, t_min, t_max [C], rain [mm], rh [%], wind [m/s], solar [MJ/m2], et0 [mm], marks.

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
        numbers = ["" if value is None else repr(value + 0.0) for value in row[1:8]]
        line = "\t".join([row[0].isoformat(), *numbers, json.dumps(row[8])])
        digest.update(line.encode() + b"\n")
    return digest.hexdigest()
