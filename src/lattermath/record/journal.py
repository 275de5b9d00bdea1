"""The append-only journal: one SQLite file in which nothing is changed and nothing leaves."""

from __future__ import annotations

import dataclasses
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType
from typing import Self
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from lattermath.record import kept_plans, kept_readings, schema
from lattermath.record.chain import FIRST_DIGEST, Reading, StoredEntry, entry_digest
from lattermath.record.codec import VERSIONS, decode, encode, kind_of
from lattermath.record.kept_plans import KeptPlan
from lattermath.record.soundness import faults_of
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import EntryRefused, Fault, JournalError
from lattermath.vocabulary.events import Event, Payload, WeatherTaken, Withdrawal

COLUMNS = "serial, id, kind, version, happened_at, zone, recorded_at, payload, supersedes"


@dataclass(frozen=True, slots=True)
class Entry:
    """Something to be written down. `id` is given when the same entry may arrive twice."""

    happened_at: datetime  # aware
    zone: str  # IANA zone of the plot
    payload: Payload
    supersedes: str | None = None  # id of the entry this one corrects or withdraws
    id: str | None = None


class Journal:
    """An open journal. Use it as a context manager, one for each command or request."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

    @classmethod
    def open(cls, path: Path, *, create: bool = False) -> Self:
        """Open the journal at `path`; with `create`, make an empty one where none stands.

        JournalError when the file is missing, foreign, damaged or newer; it is then not touched.
        """
        if not path.exists():
            if not create:
                raise JournalError(
                    Fault("there is no journal here", str(path), "", "Begin one with start.")
                )
            schema.create(path, FIRST_DIGEST)
        return cls(path, schema.connect(path))

    def close(self) -> None:
        """Close the file."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def append(
        self, entries: Sequence[Entry], recorded_at: datetime, new_id: Callable[[], str]
    ) -> tuple[Event, ...]:
        """Write entries, all or none, and give them back with serial and id once they are safe.

        An entry whose id is in the journal with the same content is given back as it stands
        there; with other content it is refused, and so is a correction of what is already
        corrected. When this returns, a crash or power cut loses none of them.
        """
        with schema.said_plainly(self.path), schema.writing(self._connection):
            return tuple(self._append_one(entry, recorded_at, new_id) for entry in entries)

    def append_weather(
        self,
        entry: Entry,
        rows: Sequence[Reading],
        recorded_at: datetime,
        new_id: Callable[[], str],
    ) -> Event:
        """Write a WeatherTaken entry and its readings together; `rows` as `chain.Reading`.

        A row holds the fields of a reading in the order of `chain.Reading`. `first`, `last` and
        `days` must be those of the rows; `readings_digest` is filled in. What a standing entry
        already brought from the same file is not written twice: that entry is given back.
        """
        taken = kept_readings.vouched(entry.payload, rows)
        entry = dataclasses.replace(entry, payload=taken)
        with schema.said_plainly(self.path), schema.writing(self._connection):
            if (twin := self._standing_twin(taken)) is not None:
                return twin
            event = self._append_one(entry, recorded_at, new_id)
            kept_readings.keep(self._connection, event.serial, rows)
            return event

    def bring_in(
        self,
        entries: Sequence[tuple[Entry, datetime]],
        readings: Mapping[str, Sequence[Reading]],
        plans: Sequence[tuple[KeptPlan, str]],
    ) -> int:
        """Write what another journal of this plot holds, all or none; how many entries were new.

        Each entry brings its id and the instant at which it was first recorded; one that is here
        already is passed over. `readings` by the id of the entry that brought them. JournalError
        where both say different things under one id or one stamp, or both corrected one entry.
        """
        with schema.said_plainly(self.path), schema.writing(self._connection):
            before = self._head()[0]
            for entry, recorded_at in entries:
                rows = readings.get(entry.id or "")
                if isinstance(entry.payload, WeatherTaken):
                    entry = dataclasses.replace(
                        entry, payload=kept_readings.vouched(entry.payload, rows or ())
                    )
                known = self._head()[0]
                event = self._append_one(entry, recorded_at, _no_new_id)
                if rows is not None and event.serial > known:
                    kept_readings.keep(self._connection, event.serial, rows)
            for kept, text in plans:
                kept_plans.keep(self._connection, kept.stamp, kept.as_of, text)
            return self._head()[0] - before

    def events(self, after: int = 0) -> tuple[Event, ...]:
        """Every entry after a serial, in order, corrected and withdrawn ones included."""
        query = f"SELECT {COLUMNS} FROM entry WHERE serial > ? ORDER BY serial"
        with schema.said_plainly(self.path):
            return tuple(map(_event, self._connection.execute(query, (after,))))

    def find(self, entry_id: str) -> Event | None:
        """The entry of that id, or None."""
        query = f"SELECT {COLUMNS} FROM entry WHERE id = ?"
        with schema.said_plainly(self.path):
            row = self._connection.execute(query, (entry_id,)).fetchone()
        return None if row is None else _event(row)

    @property
    def last_serial(self) -> int:
        """Serial of the last entry; 0 in an empty journal."""
        with schema.said_plainly(self.path):
            return self._head()[0]

    def readings(self, serial: int) -> list[Reading]:
        """The readings that the WeatherTaken entry of that serial brought, by day."""
        with schema.said_plainly(self.path):
            return kept_readings.readings_of(self._connection, serial)

    def keep_plan(self, stamp_digest: str, as_of: date | datetime, text: str) -> bool:
        """Keep a plan's JSON text beside the entries; False when the same one is there already.

        JournalError when another text stands under the stamp: one stamp, one plan.
        """
        with schema.said_plainly(self.path), schema.writing(self._connection):
            return kept_plans.keep(self._connection, stamp_digest, as_of.isoformat(), text)

    def plans(self) -> tuple[KeptPlan, ...]:
        """The plans that were kept, oldest first, without their text."""
        with schema.said_plainly(self.path):
            return kept_plans.plans(self._connection)

    def plan(self, stamp_digest: str) -> str | None:
        """The JSON text of the plan under a stamp digest, or under its only match's beginning."""
        with schema.said_plainly(self.path):
            return kept_plans.plan(self._connection, stamp_digest)

    def check(self) -> tuple[Fault, ...]:
        """Everything wrong with the journal; empty when the whole chain holds."""
        try:
            return faults_of(self._connection, str(self.path))
        except (sqlite3.Error, UnicodeDecodeError) as fault:
            remedy = "Bring back the last backup."
            return (Fault("the journal file is damaged", str(self.path), str(fault), remedy),)

    def copy_to(self, target: Path, progress: Callable[[int, int], None] | None = None) -> None:
        """Copy the whole journal to `target` by the store's own backup interface.

        `progress` hears pages left and pages in all. Other commands may write meanwhile.
        """
        with schema.said_plainly(target):
            copy = sqlite3.connect(target, isolation_level=None)
        try:
            with schema.said_plainly(self.path):
                hear = None if progress is None else lambda _, left, total: progress(left, total)
                self._connection.backup(copy, pages=1000, progress=hear)
                copy.execute("PRAGMA journal_mode = DELETE").fetchall()
        finally:
            copy.close()

    def _head(self) -> tuple[int, str]:
        row = self._connection.execute("SELECT serial, digest FROM head").fetchone()
        return int(row[0]), str(row[1])

    def _append_one(self, entry: Entry, recorded_at: datetime, new_id: Callable[[], str]) -> Event:
        if entry.id is not None and (there := self.find(entry.id)) is not None:
            return _same(there, entry)
        text = _writable(entry)
        kind = kind_of(entry.payload)
        if entry.supersedes is not None:
            self._refuse_correction(entry.supersedes, kind)
        serial, before = self._head()
        stored: StoredEntry = (
            serial + 1,
            entry.id or new_id(),
            kind,
            VERSIONS[kind],
            _utc(entry.happened_at, "happened_at").isoformat(),
            entry.zone,
            _utc(recorded_at, "recorded_at").isoformat(),
            text,
            entry.supersedes,
        )
        digest = entry_digest(before, stored)
        marks = ", ".join("?" * 10)
        self._connection.execute(f"INSERT INTO entry VALUES ({marks})", (*stored, digest))
        self._connection.execute("UPDATE head SET serial = ?, digest = ?", (serial + 1, digest))
        return _event(stored)

    def _refuse_correction(self, target: str, kind: str) -> None:
        corrected = self.find(target)
        if corrected is None:
            remedy = "Give the number that `lattermath log` answered with."
            raise _refused("the entry to correct is not in the journal", target, remedy)
        withdraws = kind == kind_of(Withdrawal())
        if corrected.kind == kind_of(Withdrawal()):
            raise _refused(
                "what was taken back stays so",
                _words(corrected),
                "If the entry that it took back was right, write that down anew.",
            )
        if not (withdraws or corrected.kind == kind):
            raise _refused(
                "an entry is corrected by one of its own kind",
                f"{corrected.kind} by {kind}",
                "Withdraw it and write a new one.",
            )
        query = f"SELECT {COLUMNS} FROM entry WHERE supersedes = ?"
        if (row := self._connection.execute(query, (target,)).fetchone()) is not None:
            raise _corrected_already(corrected, _event(row))

    def _standing_twin(self, taken: WeatherTaken) -> Event | None:
        """An uncorrected entry that brought the same readings from the same file, if there is."""
        query = (
            f"SELECT {COLUMNS} FROM entry WHERE kind = 'weather taken' "
            "AND id NOT IN (SELECT supersedes FROM entry WHERE supersedes IS NOT NULL)"
        )
        standing = map(_event, self._connection.execute(query))
        return next((event for event in standing if event.payload == taken), None)


def _no_new_id() -> str:
    raise _refused("an entry that is brought in has no id", "", "Give it the id it had.")


def _event(row: StoredEntry) -> Event:
    serial, entry_id, kind, version, happened_at, zone, recorded_at, text, supersedes = row
    try:
        return Event(
            serial=serial,
            id=entry_id,
            kind=kind,
            version=version,
            happened_at=datetime.fromisoformat(happened_at),
            zone=zone,
            recorded_at=datetime.fromisoformat(recorded_at),
            payload=decode(kind, version, text),
            supersedes=supersedes,
        )
    except (ValueError, TypeError, RecursionError) as fault:
        remedy = "Run check; bring back the last backup."
        raise JournalError(
            Fault("an entry cannot be read", f"journal entry {serial}", str(fault), remedy)
        ) from fault


def _writable(entry: Entry) -> str:
    """The text of a payload, which must read back as the very same payload."""
    kind = kind_of(entry.payload)
    try:
        ZoneInfo(entry.zone)
        text = encode(entry.payload)
        if decode(kind, VERSIONS[kind], text) != entry.payload:
            raise ValueError("it does not read back as it was given")
    except (ZoneInfoNotFoundError, ValueError, TypeError, OSError) as fault:
        raise _refused(f"this {kind} cannot be written down", str(fault), "Mend it.") from fault
    return text


def _same(there: Event, entry: Entry) -> Event:
    """The entry that stands under the id, if it says the same."""
    given = (_utc(entry.happened_at, "happened_at"), entry.zone, entry.payload, entry.supersedes)
    if given != (there.happened_at, there.zone, there.payload, there.supersedes):
        remedy = "Give a new id, or correct the entry that stands there."
        raise _refused(f"entry {there.serial} has this id and says otherwise", there.id, remedy)
    return there


def _utc(moment: datetime, name: str) -> datetime:
    if moment.tzinfo is None:
        raise _refused(f"{name} has no time zone", moment.isoformat(), "Give an aware time.")
    return moment.astimezone(UTC)


def _corrected_already(event: Event, by: Event) -> EntryRefused:
    remedy = f"Correct entry {by.serial} ({_words(by)}), which stands in its place."
    if isinstance(by.payload, Withdrawal):
        remedy = f"Entry {by.serial} withdrew it; if it was right, write it down anew."
    found = f"entry {event.serial}, {_words(event)}"
    return _refused("that entry was corrected or withdrawn already", found, remedy)


def _words(event: Event) -> str:
    return f"{event.kind} of {said_with_hour(event.local)}"


def _refused(what: str, found: str, remedy: str) -> EntryRefused:
    return EntryRefused(Fault(what, "journal", found, remedy))
