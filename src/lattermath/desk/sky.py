"""What is known of the sky as of a day: every file and typed day, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from lattermath.record.journal import Journal
from lattermath.record.read_back import days_typed, effective, span_typed
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.events import Event, WeatherTaken
from lattermath.weather.daily_record import DailyRecord, daily_record
from lattermath.weather.days import FORECAST, OWN, Reading, WeatherFile
from lattermath.weather.held import Held
from lattermath.weather.leaf_hours import leaf_hours
from lattermath.weather.stations import Station, station_of

MOST_HELD = 8  # judgement: the weather files of a plot or two
# By the digest that their entry vouches for: every plan asks for the same thousands of days.
_READINGS: Held[tuple[Reading, ...]] = Held(MOST_HELD)


@dataclass(frozen=True, slots=True)
class Sky:
    """The daily record, and the newest forecast made by the day asked about."""

    record: DailyRecord
    forecast: tuple[Reading, ...]
    leaf_hours: Mapping[date, str] = field(default_factory=dict)  # by day, as `leaf_hours` says
    stations: tuple[Station, ...] = ()  # where files say that they were measured
    unplaced: tuple[str, ...] = ()  # files that do not say where they were measured
    left_out: str = ""  # what was typed for later days but written down only since


def sky_of(journal: Journal, events: tuple[Event, ...], day: date) -> Sky:
    """Give what is known of the sky as of a day. WeatherFileError when that is nothing.

    A day typed in the plot file before it came is the grower's own forecast, and is treated as
    that of a file; whichever was made later tells of a day, the grower's on a tie.
    """
    files = [
        _file(event.payload, _readings(journal, event.serial, event.payload.readings_digest))
        for event in effective(events)
        if isinstance(event.payload, WeatherTaken)
    ]
    told: dict[date, Reading] = {}
    for file in files:
        newer = _told(file.readings, day)
        told = newer or told
    typed = tuple(
        _typed(row.day, row.low_c, row.high_c, row.rain_mm, on)
        for row, on in days_typed(events, day)
    )
    unplaced = tuple(dict.fromkeys(file.file for file in files if station_of(file) is None))
    if typed:
        files.append(WeatherFile("plot.toml", "week", "", typed, None, None, None, ()))
    for of, reading in _told(typed, day).items():
        if of not in told or _made(told[of]) <= _made(reading):
            told[of] = reading
    if not files:
        raise _nothing_known(span_typed(events), day)
    forecast = tuple(told[of] for of in sorted(told))
    came = (r for file in files for r in file.readings if not r.is_forecast and r.day <= day)
    hours = leaf_hours(forecast) | leaf_hours(came)
    measured = (station for file in files if (station := station_of(file)) is not None)
    stations = tuple({one.file: one for one in measured}.values())
    late = _left_out(events, typed, day)
    return Sky(daily_record(files), forecast, hours, stations, unplaced, late)


def _readings(journal: Journal, serial: int, digest: str) -> tuple[Reading, ...]:
    """The readings that an entry brought; read once in a process where it vouches for them."""

    def read() -> tuple[Reading, ...]:
        return tuple(map(Reading._make, journal.readings(serial)))

    return _READINGS.get(digest, read) if digest else read()


def _file(payload: WeatherTaken, readings: tuple[Reading, ...]) -> WeatherFile:
    at = (payload.latitude, payload.longitude, payload.altitude_m)
    return WeatherFile(payload.file, payload.form, payload.digest, readings, *at, ())


def _typed(
    day: date, low_c: float | None, high_c: float | None, rain_mm: float | None, written: date
) -> Reading:
    forecast = (f"{FORECAST} of {written.isoformat()}",) if written < day else ()
    return Reading(day, low_c, high_c, rain_mm, marks=(*forecast, OWN))


def _told(readings: tuple[Reading, ...], day: date) -> dict[date, Reading]:
    """The forecast days of a file that were forecast by a day."""
    return {r.day: r for r in readings if r.is_forecast and _made(r) <= day}


def _made(reading: Reading) -> date:
    return reading.issued or reading.day


def _nothing_known(typed: tuple[date, date] | None, day: date) -> WeatherFileError:
    what = f"nothing is known of the weather up to {short(day)} {day.year}"
    found = "" if typed is None else f"typed in: {typed[0]} to {typed[1]}"
    remedy = "Write the last days' highs and lows under [[week]], or take in a weather file."
    return WeatherFileError(Fault(what, "plot.toml: week", found, remedy))


def _left_out(events: tuple[Event, ...], typed: tuple[Reading, ...], day: date) -> str:
    """Of the weather typed for days after `day` but written down only since, which is not used.

    Not said where the whole plot was written down since: its sheet says that of everything.
    """
    span = span_typed(events)
    if span is None or span[1] <= max([day, *(reading.day for reading in typed)]):
        return ""
    if min(event.day for event in events) > day:
        return ""
    return f"what you wrote down later of days after {short(day)} is not used"
