"""Take a weather file into the record, and give back what the record knows of the sky."""

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
from lattermath.record.read_back import days_typed, effective, plot_as_of
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError
from lattermath.vocabulary.events import Event, WeatherTaken
from lattermath.weather.daily_record import DailyRecord, daily_record
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
    says = (
        f"Took in {counted(len(days), 'days')} from {read.file}, {first} to {last} ({read.form})."
    )
    return Taken(event, (says, *read.says))


def sky(journal: Journal, events: tuple[Event, ...], day: date) -> DailyRecord:
    """Give the daily record from every file taken in and the days typed in the plot file."""
    files = [
        WeatherFile(
            event.payload.file,
            event.payload.form,
            event.payload.digest,
            tuple(Reading(*row) for row in journal.readings(event.serial)),
            None,
            None,
            None,
            (),
        )
        for event in effective(events)
        if isinstance(event.payload, WeatherTaken)
    ]
    typed = tuple(
        Reading(row.day, row.low_c, row.high_c, row.rain_mm) for row in days_typed(events, day)
    )
    if typed:
        files.append(WeatherFile("plot.toml", "week", "", typed, None, None, None, ()))
    if not files:
        raise WeatherFileError(
            Fault(
                "nothing is known of the weather here",
                "plot.toml: week",
                "",
                "Write this week's highs and lows under [[week]], or take in a weather file.",
            )
        )
    return daily_record(files)


def forecast_of(journal: Journal, events: tuple[Event, ...], day: date) -> tuple[Reading, ...]:
    """Give the newest forecast issued on or before a day."""
    best: tuple[Reading, ...] = ()
    for event in effective(events):
        if isinstance(event.payload, WeatherTaken):
            rows = tuple(Reading(*row) for row in journal.readings(event.serial))
            told = tuple(r for r in rows if r.is_forecast and (r.issued or r.day) <= day)
            best = told or best
    return best


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
