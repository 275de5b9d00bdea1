"""What the weather files of a plot tell of its place: when frost came, where their stations are."""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from lattermath.desk.set_up import plot_text
from lattermath.desk.sky import sky_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import LattermathError
from lattermath.weather.frost_dates import frost_dates
from lattermath.weather.readings import read_weather
from lattermath.weather.stations import Station, station_of

LEAST_YEARS = 5  # judgement: the middle of fewer autumns tells little


@dataclass(frozen=True, slots=True)
class FrostOnRecord:
    """First frosts of autumn (a minimum at or below 0 C), from measured days only.

    years : autumns that count; without : those in which none came. The days are those of one
    season, so that their years mean nothing; None where fewer than LEAST_YEARS count, or where
    it came in fewer than half of them.
    """

    years: int
    without: int
    first: date | None
    middle: date | None
    last: date | None


def frost_on_record(path: Path | str, today: date) -> FrostOnRecord:
    """When the first frost came in the autumns that the plot's weather files tell of."""
    with open_journal(folder_at(path)) as journal:
        events = journal.events()
        southern = plot_as_of(events, today).place.latitude < 0
        try:
            record = sky_of(journal, events, today).record
        except LattermathError:
            return FrostOnRecord(0, 0, None, None, None)
    found = frost_dates(record, today, southern=southern)
    begins = date(2000, 2 if southern else 8, 1)
    came = sorted(
        (day - begins.replace(year=year)).days for year, day in found.items() if day is not None
    )
    without = len(found) - len(came)
    if len(found) < LEAST_YEARS or without * 2 >= len(found):
        return FrostOnRecord(len(found), without, None, None, None)
    # A year without frost by its end stands behind all others.
    ranked = [*came, *[max(came) + 1] * without]
    middle = statistics.median_low(ranked)
    days = (date.fromordinal(begins.toordinal() + n) for n in (came[0], middle, came[-1]))
    return FrostOnRecord(len(found), without, *days)


def stations(path: Path | str) -> list[Station]:
    """The stations of the weather files that plot.toml names, as far as the files tell."""
    folder = folder_at(path)
    held = plot_text(folder.path)
    zone: Any = held.table("place").get("time_zone")
    found = []
    for name in held.document.get("weather", []):
        try:
            read = read_weather(folder.path / str(name), time_zone=zone)
        except (LattermathError, OSError):
            continue  # the plan says what is wrong with it
        if (station := station_of(read)) is not None:
            found.append(station)
    return found
