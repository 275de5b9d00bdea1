"""Write what a weather file holds into the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.record.chain import Reading as StoredReading
from lattermath.record.chain import readings_digest
from lattermath.record.journal import Entry, Journal
from lattermath.record.read_back import effective
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.events import Event, WeatherTaken
from lattermath.weather.days import Reading, WeatherFile

MOST_FORECAST_DAYS = 16  # judgement: no open forecast looks further ahead


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken in, in words."""

    event: Event | None  # None: nothing was written
    says: tuple[str, ...]


def take_in(journal: Journal, read: WeatherFile, zone: str, now: datetime) -> Taken:
    """Write what was read down: one entry, with its readings beside it.

    Days that nobody can have measured yet are set aside. The journal writes no file twice; that is
    said. A typical year is not written down but told as usual months for plot.toml.
    WeatherFileError when no day is left.
    """
    if read.usual_months:
        return Taken(None, (*read.says, *_usual_words(read)))
    read, notes = without_far_days(read, clock.now().astimezone(ZoneInfo(zone)).date())
    rows = [_row(reading) for reading in read.readings]
    before = _taken_before(journal, read, rows)
    days = [reading.day for reading in read.readings]
    payload = WeatherTaken(
        *(read.file, read.form, read.digest, min(days), max(days), len(read.readings)),
        latitude=read.latitude,
        longitude=read.longitude,
        altitude_m=read.altitude_m,
    )
    event = journal.append_weather(
        Entry(now.astimezone(UTC), zone, payload),
        rows,
        clock.now(),
        new_id,
    )
    if before:
        words = f"{read.file} was taken in before, on {before}: nothing is written."
        return Taken(event, (words,))
    first, last = min(days).isoformat(), max(days).isoformat()
    took = counted(len(days), "days")
    says = f"Took in {took} from {read.file}, {first} to {last} ({read.form})."
    return Taken(event, (says, *read.says, *notes, *gap_words(read.readings)))


def _usual_words(read: WeatherFile) -> tuple[str, ...]:
    """The usual months as the grower may write them into plot.toml."""
    months = read.usual_months
    lines = {
        "highs_c": [f"{_plain(month.t_max)}" for month in months],
        "lows_c": [f"{_plain(month.t_min)}" for month in months],
    }
    rain = [f"{month.rain_mm:.0f}" for month in months if month.rain_mm is not None]
    return (
        f"{read.file} is a typical year, put together from months of several years: no record of "
        "days, and no frost can be counted in it. Nothing is written down. Where there is no "
        "record of your place, write its usual months into plot.toml:",
        "[normals]",
        *(f"{name} = [{', '.join(row)}]" for name, row in lines.items()),
        f"# rain_mm = [{', '.join(rain)}]   such files often lack rain and snow: compare it first"
        if len(rain) == len(months)
        else "# rain_mm is left out: the file does not know it",
    )


def _plain(celsius: float) -> str:
    return f"{round(celsius, 1) + 0.0:.1f}"  # never -0.0


def without_far_days(read: WeatherFile, today: date) -> tuple[WeatherFile, tuple[str, ...]]:
    """The file without days that cannot be known today, and what to say of them."""
    latest = {True: today + timedelta(days=MOST_FORECAST_DAYS), False: today}
    kept = tuple(r for r in read.readings if r.day <= latest[r.is_forecast])
    far = [r for r in read.readings if r.day > latest[r.is_forecast]]
    if not far:
        return read, ()
    words = f"{_days(len(far))} from {far[0].day} on"
    if not kept:
        remedy = "Look for a wrong year; a forecast is taken with --forecast."
        raise WeatherFileError(Fault("no day of this file has come yet", read.file, words, remedy))
    told = " A forecast is taken with --forecast." if not any(r.is_forecast for r in far) else ""
    says = f"{words}: set aside, nobody can know them yet.{told}"
    return replace(read, readings=kept), (says,)


def gap_words(readings: Sequence[Reading]) -> tuple[str, ...]:
    """Say how many days between the first and the last have no low or no high."""
    span = (readings[-1].day - readings[0].day).days + 1
    whole = sum(r.t_min is not None and r.t_max is not None for r in readings)
    if span == whole:
        return ()
    return (f"{_days(span - whole)} of {span} without a low or a high: filled, and marked so.",)


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _taken_before(journal: Journal, read: WeatherFile, rows: Sequence[StoredReading]) -> str:
    """The day on which the same readings of the same file were taken in; "" for never."""
    for event in effective(journal.events()):
        taken = event.payload
        if not isinstance(taken, WeatherTaken) or taken.digest != read.digest:
            continue
        if taken.readings_digest == readings_digest(rows):
            return f"{event.recorded_at.astimezone(ZoneInfo(event.zone)):%Y-%m-%d}"
    return ""


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
