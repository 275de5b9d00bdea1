"""Plans, kept beside the entries so that an old sheet can be printed again as it was."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from dataclasses import dataclass

from lattermath.vocabulary.errors import Fault, JournalError


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """Under which stamp a plan was kept, and for which day or instant (ISO 8601)."""

    stamp: str
    as_of: str


def keep(connection: sqlite3.Connection, stamp: str, as_of: str, text: str) -> bool:
    """Keep a plan; True when it is new. Another text under the same stamp is refused."""
    there = connection.execute("SELECT text FROM plan WHERE stamp = ?", (stamp,)).fetchone()
    if there is not None:
        if there[0] != text:
            remedy = "One stamp gives one plan; keep this one under its own stamp."
            raise JournalError(Fault("another plan has this stamp", "plans", stamp, remedy))
        return False
    connection.execute(
        "INSERT INTO plan (stamp, as_of, text, digest) VALUES (?, ?, ?, ?)",
        (stamp, as_of, text, plan_digest(stamp, as_of, text)),
    )
    return True


def plans(connection: sqlite3.Connection) -> tuple[KeptPlan, ...]:
    """The plans kept, oldest first."""
    rows = connection.execute("SELECT stamp, as_of FROM plan ORDER BY place")
    return tuple(KeptPlan(stamp, as_of) for stamp, as_of in rows)


def plan(connection: sqlite3.Connection, stamp: str) -> str | None:
    """The text of the plan whose stamp is, or alone begins with, `stamp`."""
    query = "SELECT text FROM plan WHERE stamp = ?1 OR substr(stamp, 1, length(?1)) = ?1"
    exact = connection.execute("SELECT text FROM plan WHERE stamp = ?", (stamp,)).fetchone()
    if exact is not None:
        return str(exact[0])
    found = connection.execute(query, (stamp,)).fetchall() if stamp else []
    return str(found[0][0]) if len(found) == 1 else None


def plan_digest(stamp: str, as_of: str, text: str) -> str:
    """SHA-256 in hex of a plan, its stamp and its day."""
    return hashlib.sha256("\n".join([stamp, as_of, text]).encode()).hexdigest()


def serial_read(text: str) -> int:
    """The serial of the last entry that a plan was made from; 0 where its text does not say."""
    try:
        serial = json.loads(text)["stamp"]["serial"]
    except (ValueError, KeyError, TypeError):
        return 0
    return serial if isinstance(serial, int) else 0
