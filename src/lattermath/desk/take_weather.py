"""Take a weather file into the record."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.far_weather import ask_if_far
from lattermath.desk.plot_edits import bring_up, read_file
from lattermath.desk.weather_entries import Taken, take_in
from lattermath.desk.wiring import Folder, folder_at, open_journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.weather.readings import as_forecast, read_weather


def take(
    path: Path | str,
    file: Path | str,
    *,
    form: str | None = None,
    units: str | None = None,
    forecast: bool = False,
    at: datetime | None = None,
) -> Taken:
    """Read a weather file and write it down, all or nothing.

    `forecast` marks the days from today on as forecast. WeatherFileError with every fault found.
    """
    folder = folder_at(path)
    now = clock.now() if at is None else at
    with open_journal(folder) as journal:
        if (edited := read_file(folder, now)) is not None:
            bring_up(journal, edited, now)
        place = plot_as_of(journal.events(), date.max).place
        zone = place.time_zone
        read = read_weather(_inside(folder, file), form=form, units=units, time_zone=zone)
        ask_if_far(read, place)
        if forecast:
            read = as_forecast(read, now.astimezone(ZoneInfo(zone)).date())
        return take_in(journal, read, zone, now)


def _inside(folder: Folder, file: Path | str) -> Path:
    """Give the file as named from here, or from the plot's folder."""
    here = Path(file)
    there = folder.path / here
    if not here.exists() and there.exists():
        return there
    if not here.exists():
        raise InputError(Fault("there is no such file", "weather", str(file), "Check its name."))
    if here.is_dir():
        remedy = "Name the weather file in it."
        raise InputError(Fault("this is a folder", "weather", str(file), remedy))
    return here
