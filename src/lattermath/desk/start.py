"""Begin a plot from its file, and bring the journal up to the file whenever it was edited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lattermath.desk import clock
from lattermath.desk.far_weather import ask_if_far
from lattermath.desk.plot_edits import bring_up, place_of, read_file
from lattermath.desk.weather_entries import take_in
from lattermath.desk.wiring import Folder, folder_at
from lattermath.record.journal import Journal
from lattermath.record.plot_facts import WeatherFileNamed
from lattermath.record.plot_file import PlotFile
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.place import Place
from lattermath.weather.days import WeatherFile
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
    place = place_of(file)
    files = _weather_files(folder, file, place)
    with Journal.open(folder.journal, create=True) as journal:
        events = bring_up(journal, file, now)
        says = [_words(begun, len(events))]
        for read in files:
            says += take_in(journal, read, place.time_zone, now).says
    return Started(tuple(says), events)


def _weather_files(folder: Folder, file: PlotFile, place: Place) -> list[WeatherFile]:
    """The weather files that are named, each read before anything is written."""
    read = []
    for fact in file.facts.values():
        if isinstance(fact, WeatherFileNamed):
            read.append(read_weather(folder.path / fact.file, time_zone=place.time_zone))
            ask_if_far(read[-1], place)
    return read


def _words(begun: bool, count: int) -> str:
    if begun:
        are = "is" if count == 1 else "are"
        return f"Started: {counted(count, 'facts')} of plot.toml {are} in the journal."
    if count:
        return f"plot.toml was edited: {counted(count, 'facts')} changed in the journal."
    return "Nothing in plot.toml has changed."
