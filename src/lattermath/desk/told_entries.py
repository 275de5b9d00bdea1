"""The record in words, the newest first: what was written down, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from lattermath.desk.entries_at_odds import AtOdds, entries_at_odds
from lattermath.desk.entry_words import TELLERS
from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.log_others import stay_gone
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.tables import Tables
from lattermath.record.effective import put_right_by
from lattermath.record.journal import Journal
from lattermath.record.photos import photos_of
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.events import Event, Photo, PlotRow, TaskDone, WeatherTaken, Withdrawal
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.sentence import capital


@dataclass(frozen=True, slots=True)
class ToldEntry:
    """One entry for a reader. `gone_by`: the serial of what corrected or withdrew it."""

    serial: int
    id: str
    kind: str
    at: datetime  # by the plot's clock
    says: str
    planting: str
    gone_by: int | None
    withdrawn: bool
    may_undo: bool
    task: str = ""  # of a tick
    how: str = ""
    photos: tuple[str, ...] = ()  # file names in the folder of photos


@dataclass(frozen=True, slots=True)
class Record:
    """The plot as it stands, its tables, and its entries, the newest first."""

    plot: Plot
    tables: Tables
    entries: tuple[ToldEntry, ...]
    at_odds: tuple[AtOdds, ...] = ()  # standing entries that cannot both be so

    def on(self, day: date) -> tuple[ToldEntry, ...]:
        """What was done or seen on one day, what was taken back left out."""
        return tuple(
            one
            for one in self.entries
            if one.at.date() == day and one.may_undo and one.kind != "withdrawal"
        )


def record_of(path: Path | str) -> Record:
    """Read the whole record; InputError where no plot was started."""
    folder = folder_at(path)
    with open_journal(folder) as journal:
        events = journal.events()
        tables = tables_of(folder)
        plot = plot_as_of(events, date.max)
        tasks = _tasks(journal) if any(isinstance(e.payload, TaskDone) for e in events) else {}
    replaced: dict[str | None, Event] = {e.supersedes: e for e in events if e.supersedes}
    standing = effective(events)
    stands = {event.id for event in standing}
    shown, by_id = photos_of(events), {event.id: event for event in events}
    told = [
        replace(_told(event, plot, tables, tasks, replaced, stands), photos=shown.get(event.id, ()))
        for event in reversed(events)
    ]
    told = [
        _with_number(one, event, by_id) for one, event in zip(told, reversed(events), strict=True)
    ]
    return Record(plot, tables, tuple(told), entries_at_odds(standing))


def _told(
    event: Event,
    plot: Plot,
    tables: Tables,
    tasks: dict[str, str],
    replaced: dict[str | None, Event],
    stands: set[str],
) -> ToldEntry:
    by = replaced.get(event.id)
    done = event.payload
    ours = isinstance(done, (PlotRow, WeatherTaken))
    return ToldEntry(
        event.serial,
        event.id,
        event.kind,
        event.local,
        capital(_words(event, plot, tables, tasks)),
        getattr(done, "planting", None) or "",
        None if by is None else by.serial,
        by is not None and isinstance(by.payload, Withdrawal),
        event.id in stands and not ours and not isinstance(done, Withdrawal),
        done.task if isinstance(done, TaskDone) else "",
        done.how if isinstance(done, TaskDone) else "",
    )


def _with_number(one: ToldEntry, event: Event, by_id: dict[str, Event]) -> ToldEntry:
    """What says of other entries which ones; only here their numbers are known."""
    if isinstance(event.payload, Photo):
        of = by_id.get(event.payload.of)
        return replace(one, says=f"Photo kept with entry {'?' if of is None else of.serial}")
    gone = by_id.get(event.supersedes or "")
    before = put_right_by(gone, by_id.values()) if gone and gone.supersedes else ()
    if isinstance(event.payload, Withdrawal) and before:
        return replace(one, says=f"{one.says}; {stay_gone([e.serial for e in before])}")
    return one


def _words(event: Event, plot: Plot, tables: Tables, tasks: dict[str, str]) -> str:
    done = event.payload
    if isinstance(done, TaskDone):
        says = tasks.get(done.task, f"task {done.task}")
        return f"{says}: {done.how}{': ' if done.note else ''}{done.note}"
    if isinstance(done, Withdrawal):
        return "taken back" + (f": {done.why}" if done.why else "")
    teller = TELLERS.get(type(done))
    return event.kind if teller is None else teller(done, plot, tables)


def _tasks(journal: Journal) -> dict[str, str]:
    """What each task of the kept plans said first."""
    says: dict[str, str] = {}
    for plan in kept_sheets(journal):
        for _, task in tasks_of(plan):
            says.setdefault(task["id"], task["says"].split(". ")[0].split(" {task:")[0])
    return says


def last_of(entries: Sequence[ToldEntry], kinds: Sequence[str]) -> ToldEntry | None:
    """The newest standing entry of one of these kinds."""
    return next((one for one in entries if one.kind in kinds and one.may_undo), None)


def entry_of(path: Path | str, serial: int) -> Event | None:
    """The entry of that serial, or None."""
    with open_journal(folder_at(path)) as journal:
        return next((one for one in journal.events(serial - 1) if one.serial == serial), None)
