"""The plot file as it stands, and the entries that bring the journal up to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.wiring import Folder, tables_of
from lattermath.record.journal import Entry, Journal
from lattermath.record.plot_file import PlotFile, read_plot_file
from lattermath.record.plot_rows import differences
from lattermath.vocabulary.errors import Fault, InputError, PlotFileError
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.place import Place


def read_file(folder: Folder, now: datetime) -> PlotFile | None:
    """Read plot.toml; None where there is none."""
    if not folder.plot_file.exists():
        return None
    return read_text(folder, _text(folder.plot_file), now)


def read_text(folder: Folder, text: str, now: datetime, file: str = "") -> PlotFile:
    """What a text says as the folder's plot file, by the plot's own tables.

    PlotFileError with every fault of it.
    """
    tables = tables_of(folder)
    crosswalk = tables.crosswalk
    return read_plot_file(
        text,
        today=now.date(),
        crop_of=crosswalk.crop,
        near_crops=crosswalk.nearest_crops,
        active_of=crosswalk.active,
        ground_of=lambda crop: tables.crops[crop].plant_ground_m2,
        file=file or folder.plot_file.name,
    )


def _text(file: Path) -> str:
    """The text of the plot file; the mark that some editors put first is passed over."""
    try:
        return file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        remedy = "Save it as UTF-8 text."
        where = f"byte {fault.start}"
        raise PlotFileError(Fault("the file is no UTF-8 text", file.name, where, remedy)) from fault


def bring_up(journal: Journal, file: PlotFile, now: datetime) -> tuple[Event, ...]:
    """Write the entries that bring the journal up to the file; none when nothing differs."""
    rows = differences(journal.events(), file)
    zone = place_of(file).time_zone
    entries = [Entry(now.astimezone(UTC), zone, row) for row in rows]
    if not entries:
        return ()
    return journal.append(entries, clock.now(), new_id)


def as_if(every: Sequence[Event], instead: PlotFile | None, local: datetime) -> Iterator[Event]:
    """The rows that a plot file has otherwise, as entries of that hour that nobody wrote."""
    if instead is None:
        return
    at, zone = local.astimezone(UTC), every[-1].zone
    last = max((event.serial for event in every), default=0)
    for n, row in enumerate(differences(every, instead), 1):
        yield Event(last + n, f"as if {n}", "plot row", 1, at, zone, at, row)


def place_of(file: PlotFile) -> Place:
    """Give the file's place; without its time zone there is no such thing as a date."""
    for fact in file.facts.values():
        if isinstance(fact, Place):
            return fact
    raise InputError(
        Fault("the plot file gives no place", file.file, "", "Write a [place] with a time_zone.")
    )
