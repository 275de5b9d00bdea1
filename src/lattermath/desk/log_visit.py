"""Write down what happened: one entry, safe on disk before this returns."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.record.ids import id_maker
from lattermath.record.journal import Entry, Journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, Payload, PlotRow, Withdrawal
from lattermath.vocabulary.plot import Plot


def log(
    path: Path | str,
    payload: Payload,
    *,
    at: datetime | None = None,
    supersedes: str | None = None,
) -> Event:
    """Append one entry. `at` is when it happened (naive: by the plot's clock), now if not given.

    `supersedes` is the serial or id of the entry that this one corrects.
    InputError when the plot was not started, or the entry to correct is not there.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        zone = zone_of(journal)
        entry = Entry(_instant(at, zone), zone, payload, _target(journal, supersedes))
        (event,) = journal.append([entry], clock.now(), id_maker(clock.now, clock.random_bytes))
    return event


def withdraw(path: Path | str, entry: str, why: str = "", at: datetime | None = None) -> Event:
    """Take an entry back: it stays in the journal and no longer counts."""
    return log(path, Withdrawal(why), at=at, supersedes=entry)


def plot_now(path: Path | str) -> Plot:
    """Give the plot as the journal tells it now."""
    with open_journal(folder_at(path)) as journal:
        return plot_as_of(journal.events(), date.max)


def zone_of(journal: Journal) -> str:
    """Give the plot's time zone from its newest place row, without folding everything."""
    for event in reversed(journal.events()):
        row = event.payload
        if isinstance(row, PlotRow) and row.section == "place" and row.row is not None:
            return event.zone
    return "UTC"


def planting_key(plot: Plot, word: str) -> str:
    """Give the planting a word means: its key, its name, or the start of one of them."""
    wanted = word.strip().lower()
    for planting in plot.plantings:
        if wanted in (planting.key, planting.name.lower()):
            return planting.key
    near = [p.key for p in plot.plantings if p.key.startswith(wanted)]
    near += [p.key for p in plot.plantings if p.name.lower().startswith(wanted)]
    if len(set(near)) == 1:
        return near[0]
    known = ", ".join(planting.key for planting in plot.plantings) or "none"
    raise InputError(
        Fault("there is no such planting", "planting", word, f"The plantings are: {known}.")
    )


def product_or_method(path: Path | str, plot: Plot, word: str) -> tuple[str | None, str]:
    """Give (shelf key, method id) for a word: a product of the shelf, or a method without one."""
    wanted = word.strip().lower()
    for label in plot.shelf:
        if wanted in (label.key, label.name.lower()):
            return label.key, label.active
    method = tables_of(folder_at(path)).crosswalk.method(wanted)
    if method is None:
        known = ", ".join(label.key for label in plot.shelf) or "empty"
        raise InputError(
            Fault(
                "this is neither on the shelf nor a known method",
                "product",
                word,
                f"The shelf is: {known}. A method is such as water_jet or hand_pick.",
            )
        )
    return None, method


def organism_or_disease(path: Path | str, word: str) -> str:
    """Give the id of what was seen; the grower's own word stands where no table knows it."""
    crosswalk = tables_of(folder_at(path)).crosswalk
    return crosswalk.organism(word) or crosswalk.disease(word) or word


def _instant(at: datetime | None, zone: str) -> datetime:
    if at is None:
        return clock.now()
    return (at if at.tzinfo else at.replace(tzinfo=ZoneInfo(zone))).astimezone(UTC)


def _target(journal: Journal, supersedes: str | None) -> str | None:
    if supersedes is None:
        return None
    for event in journal.events():
        if supersedes in (event.id, str(event.serial)):
            return event.id
    raise InputError(
        Fault(
            "there is no such entry",
            "entry",
            supersedes,
            "Give the number that `lattermath export` or `log` printed.",
        )
    )
