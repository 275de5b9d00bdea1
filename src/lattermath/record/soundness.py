"""Is the journal whole and unchanged? Everything that can be found out from the file itself."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from typing import Any

from lattermath.record.chain import FIRST_DIGEST, entry_digest, readings_digest
from lattermath.record.codec import decode
from lattermath.record.kept_plans import plan_digest, serial_read
from lattermath.record.kept_readings import readings_of
from lattermath.record.schema import TABLES, guards
from lattermath.vocabulary.errors import Fault, JournalError
from lattermath.vocabulary.events import WeatherTaken

REMEDY = "Bring back the last backup; what was written since stands in this file only."


def faults_of(connection: sqlite3.Connection, where: str) -> tuple[Fault, ...]:
    """Every fault found: file pages, guards, chain, readings, plans."""
    connection.execute("BEGIN")  # one state for all the checks, while others may write
    try:
        faults = [
            Fault(what, where, found, REMEDY)
            for check in (_pages, _form, _chain, _readings, _plans)
            for what, found in _survived(check, connection)
        ]
    finally:
        connection.execute("ROLLBACK")
    return tuple(faults)


Found = Iterator[tuple[str, str]]


def _survived(
    check: Callable[[sqlite3.Connection], Found], connection: sqlite3.Connection
) -> Found:
    """What one check finds; that it cannot be carried through is a finding too."""
    try:
        yield from check(connection)
    except (sqlite3.Error, ValueError, TypeError) as fault:
        yield "a part of the journal cannot be read", f"{check.__name__.strip('_')}: {fault}"


def _pages(connection: sqlite3.Connection) -> Found:
    for (line,) in connection.execute("PRAGMA integrity_check"):
        if line != "ok":
            yield "the file's pages are damaged", str(line)
    if connection.execute("PRAGMA foreign_key_check").fetchall():
        yield "a row points at an entry that is not there", "foreign key"


def _form(connection: sqlite3.Connection) -> Found:
    standing = dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql NOT NULL"))
    for name, text in guards().items():
        if standing.pop(name, None) != text:
            yield "a guard against changes was taken away", name
    for name, text in TABLES.items():
        if standing.pop(name, None) != text:
            yield "a table is not as it was made", name
    for name in standing:
        yield "something stands in the journal that does not belong there", str(name)


def _chain(connection: sqlite3.Connection) -> Found:
    before, serial = FIRST_DIGEST, 0
    for *stored, digest in connection.execute("SELECT * FROM entry ORDER BY serial"):
        serial += 1
        if stored[0] != serial:
            yield "a serial is missing", f"{serial}; {stored[0]} follows"
            serial = stored[0]
        if entry_digest(before, tuple(stored)) != digest:
            yield "an entry does not fit the one before it", f"entry {serial}"
        yield from _unreadable(stored)
        before = digest
    if connection.execute("SELECT serial, digest FROM head").fetchone() != (serial, before):
        yield "the last entry is not the one that was written last", f"entry {serial}"


def _unreadable(stored: list[Any]) -> Found:
    try:
        decode(stored[2], stored[3], stored[7])
    except (ValueError, JournalError) as fault:
        yield "an entry cannot be read", f"entry {stored[0]}: {fault}"


def _readings(connection: sqlite3.Connection) -> Found:
    query = "SELECT serial, version, payload FROM entry WHERE kind = 'weather taken'"
    for serial, version, text in connection.execute(query).fetchall():
        try:
            taken = decode("weather taken", version, text)
            sound = isinstance(taken, WeatherTaken) and taken.readings_digest == readings_digest(
                readings_of(connection, serial)
            )
        except (ValueError, TypeError):
            sound = False
        if not sound:
            yield "the readings are not those that were taken in", f"entry {serial}"


def _plans(connection: sqlite3.Connection) -> Found:
    (last,) = connection.execute("SELECT coalesce(max(serial), 0) FROM entry").fetchone()
    for *plan, digest in connection.execute("SELECT stamp, as_of, text, digest FROM plan"):
        if plan_digest(*plan) != digest:
            yield "a kept plan was changed", str(plan[0])
        if (read := serial_read(plan[2])) > last:
            words = f"plan of {plan[1]} read up to entry {read}, the last is entry {last}"
            yield "entries at the end are gone that a kept plan was made from", words
