"""Take a weather file into the record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.wiring import Folder, folder_at, open_journal
from lattermath.record.chain import Reading as StoredReading
from lattermath.record.ids import id_maker
from lattermath.record.journal import Entry, Journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, WeatherTaken
from lattermath.weather.days import Reading, WeatherFile
from lattermath.weather.readings import as_forecast, read_weather


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken in, in words."""

    event: Event
    says: tuple[str, ...]


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
    with open_journal(folder) as journal:
        zone = plot_as_of(journal.events(), date.max).place.time_zone
        read = read_weather(_inside(folder, file), form=form, units=units, time_zone=zone)
        now = clock.now() if at is None else at
        if forecast:
            read = as_forecast(read, now.astimezone(ZoneInfo(zone)).date())
        return take_in(journal, read, zone, now)


def take_in(journal: Journal, read: WeatherFile, zone: str, now: datetime) -> Taken:
    """Write what was read down: one entry, with its readings beside it."""
    days = [reading.day for reading in read.readings]
    payload = WeatherTaken(
        read.file, read.form, read.digest, min(days), max(days), len(read.readings)
    )
    event = journal.append_weather(
        Entry(now.astimezone(UTC), zone, payload),
        [_row(reading) for reading in read.readings],
        clock.now(),
        id_maker(clock.now, clock.random_bytes),
    )
    first, last = min(days).isoformat(), max(days).isoformat()
    says = f"Took in {len(days)} days from {read.file}, {first} to {last} ({read.form})."
    return Taken(event, (says, *read.says))


def _row(reading: Reading) -> StoredReading:
    return (
        reading.day,
        reading.t_min,
        reading.t_max,
        reading.rain_mm,
        reading.rh_mean,
        reading.wind_m_s,
        reading.solar_mj_m2,
        reading.et0_mm,
        reading.marks,
        reading.rain_chance,
        reading.rain_known,
    )


def _inside(folder: Folder, file: Path | str) -> Path:
    """Give the file as named from here, or from the plot's folder."""
    here = Path(file)
    there = folder.path / here
    if not here.exists() and there.exists():
        return there
    if not here.exists():
        raise InputError(Fault("there is no such file", "weather", str(file), "Check its name."))
    return here
