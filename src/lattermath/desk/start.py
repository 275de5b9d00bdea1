"""Begin a plot from its file, and bring the journal up to the file whenever it was edited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.take_weather import take_in
from lattermath.desk.wiring import Folder, folder_at, tables_of
from lattermath.record.journal import Entry, Journal
from lattermath.record.plot_file import PlotFile, read_plot_file
from lattermath.record.plot_rows import differences
from lattermath.record.read_back import plot_as_of, weather_files_named
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError, PlotFileError
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.place import Place
from lattermath.weather.readings import read_weather


@dataclass(frozen=True, slots=True)
class Started:
    """What was begun or changed, in words."""

    says: tuple[str, ...]
    events: tuple[Event, ...]


def start(path: Path | str, at: datetime | None = None) -> Started:
    """Turn plot.toml into entries, and take in the weather files it names.

    On a plot that was started before, only what the file says differently is written.
    PlotFileError with every fault of the file; nothing is written then.
    """
    folder = folder_at(path)
    now = clock.now() if at is None else at
    file = read_file(folder, now)
    if file is None:
        raise InputError(
            Fault(
                "there is no plot file here",
                str(folder.plot_file),
                "",
                "Write plot.toml: a place, its usual first frost, this week's highs and lows, "
                "and the crops with rough dates are enough. `lattermath serve` asks for them.",
            )
        )
    begun = not folder.journal.exists()
    with Journal.open(folder.journal, create=True) as journal:
        events = bring_up(journal, file, now)
        says = [_words(begun, len(events))]
        says += [line for taken in _weather(folder, journal, now) for line in taken]
    return Started(tuple(says), events)


def read_file(folder: Folder, now: datetime) -> PlotFile | None:
    """Read plot.toml; None where there is none."""
    if not folder.plot_file.exists():
        return None
    return read_text(folder, _text(folder.plot_file), now)


def read_text(folder: Folder, text: str, now: datetime, file: str = "") -> PlotFile:
    """What a text says as the folder's plot file, by the plot's own tables.

    PlotFileError with every fault of it.
    """
    crosswalk = tables_of(folder).crosswalk
    return read_plot_file(
        text,
        today=now.date(),
        crop_of=crosswalk.crop,
        near_crops=crosswalk.nearest_crops,
        active_of=crosswalk.method,
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
    zone = zone_of(file)
    entries = [Entry(now.astimezone(UTC), zone, row) for row in rows]
    if not entries:
        return ()
    return journal.append(entries, clock.now(), new_id)


def _weather(folder: Folder, journal: Journal, now: datetime) -> list[tuple[str, ...]]:
    events = journal.events()
    day = now.astimezone(ZoneInfo(events[-1].zone)).date() if events else now.date()
    taken = []
    for name in weather_files_named(events, day):
        zone = plot_as_of(events, day).place.time_zone
        read = read_weather(folder.path / name, time_zone=zone)
        taken.append(take_in(journal, read, zone, now).says)
    return taken


def zone_of(file: PlotFile) -> str:
    """Give the time zone of the file's place; without one there is no such thing as a date."""
    for fact in file.facts.values():
        if isinstance(fact, Place):
            return fact.time_zone
    raise InputError(
        Fault("the plot file gives no place", file.file, "", "Write a [place] with a time_zone.")
    )


def _words(begun: bool, count: int) -> str:
    if begun:
        are = "is" if count == 1 else "are"
        return f"Started: {counted(count, 'facts')} of plot.toml {are} in the journal."
    if count:
        return f"plot.toml was edited: {counted(count, 'facts')} changed in the journal."
    return "Nothing in plot.toml has changed."
