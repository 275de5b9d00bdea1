"""A weather file that came over a page: read first, then kept beside plot.toml and taken in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.far_weather import ask_if_far
from lattermath.desk.weather_entries import Taken, take_in
from lattermath.desk.wiring import Folder, folder_at, open_journal
from lattermath.record.read_back import effective, plot_as_of
from lattermath.record.whole_file import write_whole
from lattermath.vocabulary.events import WeatherTaken
from lattermath.weather.days import WeatherFile
from lattermath.weather.readings import as_forecast, read_weather_bytes

SUFFIXES = (".csv", ".dly", ".epw", ".json", ".txt", ".gz")
_LONGEST_NAME = 60
_OTHER_LETTERS = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(frozen=True, slots=True)
class SentFile:
    """A file as it came: what its sender calls it, and its bytes."""

    name: str
    data: bytes


def read_sent(
    path: Path | str, sent: SentFile, *, units: str | None, forecast: bool, far: bool
) -> WeatherFile:
    """What a sent file says, checked as `take` checks one; nothing is written.

    far : weather of another climate is meant. WeatherFileError with every fault found.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        place = plot_as_of(journal.events(), date.max).place
    name = _name(folder, sent)
    read = read_weather_bytes(sent.data, name, units=units, time_zone=place.time_zone)
    if not far:
        ask_if_far(read, place)
    if forecast:
        read = as_forecast(read, clock.now().astimezone(ZoneInfo(place.time_zone)).date())
    return read


def keep_sent(path: Path | str, sent: SentFile, read: WeatherFile, at: datetime) -> Taken:
    """Write what was read down, and keep the file itself in the plot's folder."""
    folder = folder_at(path)
    with open_journal(folder) as journal:
        zone = plot_as_of(journal.events(), date.max).place.time_zone
        taken = take_in(journal, read, zone, at)
    file = folder.path / read.file
    if not file.exists():
        write_whole(file, sent.data)
    return taken


@dataclass(frozen=True, slots=True)
class TakenFile:
    """A weather file of the record that counts."""

    file: str
    first: date
    last: date
    days: int


def taken_files(path: Path | str) -> tuple[TakenFile, ...]:
    """The weather files that the plot rests on, by name; a file taken in anew counts once."""
    with open_journal(folder_at(path)) as journal:
        return tuple({one.file: one for one in _taken(effective(journal.events()))}.values())


def _taken(events: tuple[object, ...]) -> Iterator[TakenFile]:
    for event in events:
        payload = getattr(event, "payload", None)
        if isinstance(payload, WeatherTaken):
            yield TakenFile(payload.file, payload.first, payload.last, payload.days)


def _name(folder: Folder, sent: SentFile) -> str:
    """A plain name in the folder that no other file has; the same bytes keep theirs."""
    last = re.split(r"[/\\]", sent.name)[-1]
    plain = _OTHER_LETTERS.sub("-", last).strip("-._")[-_LONGEST_NAME:].lstrip("-._") or "weather"
    if not plain.lower().endswith(SUFFIXES):
        plain += ".txt"
    stem, _, suffix = plain.partition(".")
    for again in range(1, 1000):
        name = plain if again == 1 else f"{stem}-{again}.{suffix}"
        there = folder.path / name
        if not there.exists() or (there.is_file() and there.read_bytes() == sent.data):
            return name
    return plain
