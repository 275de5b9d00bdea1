"""The tables of the journal file, how it is made, and how it is opened."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lattermath.record.header import APPLICATION_ID, SCHEMA_VERSION, refuse_unless_ours
from lattermath.vocabulary.errors import Fault, JournalError

WAIT_MS = 5000  # judgement: how long one writer waits for another before it gives up

TABLES = {
    "entry": """CREATE TABLE entry (
        serial INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        kind TEXT NOT NULL,
        version INTEGER NOT NULL,
        happened_at TEXT NOT NULL,
        zone TEXT NOT NULL,
        recorded_at TEXT NOT NULL,
        payload TEXT NOT NULL,
        supersedes TEXT UNIQUE REFERENCES entry (id),
        digest TEXT NOT NULL
    ) STRICT""",
    "head": """CREATE TABLE head (
        one INTEGER PRIMARY KEY CHECK (one = 1),
        serial INTEGER NOT NULL,
        digest TEXT NOT NULL
    ) STRICT""",
    "reading": """CREATE TABLE reading (
        entry INTEGER NOT NULL REFERENCES entry (serial),
        day TEXT NOT NULL,
        t_min REAL, t_max REAL, rain REAL, rh REAL, wind REAL, solar REAL, et0 REAL,
        marks TEXT NOT NULL,
        rain_chance REAL,
        rain_known TEXT,
        PRIMARY KEY (entry, day)
    ) STRICT, WITHOUT ROWID""",
    "plan": """CREATE TABLE plan (
        place INTEGER PRIMARY KEY,
        stamp TEXT NOT NULL UNIQUE,
        as_of TEXT NOT NULL,
        text TEXT NOT NULL,
        digest TEXT NOT NULL
    ) STRICT""",
}

GUARDED = ("entry", "reading", "plan")  # rows of these are never changed and never leave


def guards() -> dict[str, str]:
    """Name and text of each trigger that forbids changing or deleting a row."""
    return {
        f"{table}_no_{act}": (
            f"CREATE TRIGGER {table}_no_{act} BEFORE {act.upper()} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END"
        )
        for table in GUARDED
        for act in ("update", "delete")
    }


def create(path: Path, first_digest: str) -> None:
    """Make an empty journal at `path`; a file that stands there already is left as it is.

    The journal is made beside its place and moved in whole, so a crash leaves no half journal.
    """
    making = path.with_name(f".{path.name}.{os.getpid()}.new")
    making.unlink(missing_ok=True)
    try:
        connection = sqlite3.connect(making, isolation_level=None)
        try:
            connection.execute("BEGIN")
            for statement in (*TABLES.values(), *guards().values()):
                connection.execute(statement)
            connection.execute("INSERT INTO head VALUES (1, 0, ?)", (first_digest,))
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
            connection.execute("COMMIT")
            connection.execute("PRAGMA journal_mode = WAL")
        finally:
            connection.close()
        _move_in(making, path)
    except (OSError, sqlite3.Error) as fault:
        raise JournalError(
            Fault(
                "the journal cannot be made here", str(path), str(fault), "Choose another folder."
            )
        ) from fault
    finally:
        making.unlink(missing_ok=True)


def _move_in(making: Path, path: Path) -> None:
    """Put the new journal in its place unless one stands there, in one step where possible."""
    try:
        os.link(making, path)
    except FileExistsError:
        return
    except OSError:  # a file system without links
        if not path.exists():
            making.rename(path)
    if hasattr(os, "O_DIRECTORY"):
        folder = os.open(path.parent, os.O_DIRECTORY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def connect(path: Path) -> sqlite3.Connection:
    """Open a journal whose header was found good, with every write made durable on commit."""
    refuse_unless_ours(path)
    with said_plainly(path):
        connection = sqlite3.connect(path, isolation_level=None, timeout=WAIT_MS / 1000)
        try:
            for pragma in (
                f"busy_timeout = {WAIT_MS}",
                "journal_mode = WAL",
                "synchronous = FULL",
                "fullfsync = ON",
                "checkpoint_fullfsync = ON",
                "foreign_keys = ON",
                "recursive_triggers = ON",
            ):
                connection.execute(f"PRAGMA {pragma}").fetchall()
        except BaseException:
            connection.close()
            raise
    return connection


@contextmanager
def said_plainly(path: Path) -> Iterator[None]:
    """Turn what the store says into a JournalError with place and remedy."""
    try:
        yield
    except sqlite3.OperationalError as fault:
        if "locked" not in str(fault) and "busy" not in str(fault):
            raise _store_refusal(path, fault) from fault
        raise JournalError(
            Fault(
                "another command is writing in the journal",
                str(path),
                str(fault),
                "Nothing was written; try again when it has finished.",
            )
        ) from fault
    except (sqlite3.Error, UnicodeDecodeError) as fault:  # damage can reach the store's own words
        raise _store_refusal(path, fault) from fault


def _store_refusal(path: Path, fault: Exception) -> JournalError:
    remedy = "Nothing was written. Run check, or bring back the last backup."
    return JournalError(Fault("the journal refuses", str(path), str(fault), remedy))


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """One write: all of it is kept, or none of it."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
