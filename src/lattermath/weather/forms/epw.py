"""EPW, the hourly weather file of building simulation: a year that happened, or a typical one.

Eight header lines, then rows of 35 fields an hour (place.md 12.5; the layout agrees with three
published files that were read). Hour 1 runs from 00:00 to 01:00 of standard time. A year that
happened becomes days. A typical year is put together from months of several years: no day of it
tells what came before it, nor how often it freezes, so it gives usual months and nothing else. The
flags of a row say how each value was come by and none that it failed: they set nothing aside.
"""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import Reading, UsualMonth, WeatherFile
from lattermath.weather.forms import cells
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import MOST_FAULTS, Document, Form
from lattermath.weather.leaf_hours import day_mark, hour_letter
from lattermath.weather.units import TWO_METRES_FROM_TEN

_HEAD_LINES, _FIELDS, _HOURS = 8, 35, 24
_MJ_FROM_WATT_HOURS = 0.0036
_TYPICAL = re.compile(r"TMY|IWEC|TRY|WYEC|typical", re.IGNORECASE)  # as files name themselves
_LEAST_DAYS = 20  # judgement: a month with fewer whole days is not known


@dataclass(frozen=True, slots=True)
class _Field:
    """Where a quantity stands in a row, from what value on it is missing, and its factor."""

    name: str
    at: int
    missing: float
    factor: float = 1.0


_TEMPERATURE = _Field("dry bulb temperature", 6, 99.9)
_HUMIDITY = _Field("relative humidity", 8, 999.0)
_SUN = _Field("global horizontal radiation", 13, 9999.0, _MJ_FROM_WATT_HOURS)
_WIND = _Field("wind speed", 21, 999.0, TWO_METRES_FROM_TEN)
_RAIN = _Field("liquid precipitation depth", 33, 999.0)


@dataclass(frozen=True, slots=True)
class _Hour:
    """One row: the hour that begins at `hour` of a day by standard time; None is missing."""

    day: date
    hour: int
    celsius: float | None
    rh: float | None
    sun: float | None
    wind: float | None
    rain: float | None


def _recognises(document: Document) -> bool:
    return re.match(r"LOCATION,([^,\n]*,){8}[^,\n]*", document.text.lstrip()) is not None


def _read(document: Document) -> WeatherFile:
    rows = list(csv.reader(document.text.lstrip().splitlines()))
    place = rows[0]
    faults: list[Fault] = []
    hours = list(_hours(document, rows, faults))
    if faults:
        raise WeatherFileError(faults[:MOST_FAULTS])
    rain_known = any(one.rain for one in hours)
    clock = _standard_time(document, place)
    readings = tuple(_days(document, hours, clock, rain_known=rain_known))
    typical = _typical(place, readings)
    latitude, longitude, altitude = (_fact(place, at) for at in (6, 7, 9))
    says = [
        f"EPW of {place[1].strip()} ({place[4].strip()}), hours in standard time: read as °C, "
        "Wh/m² and m/s, as the form prescribes."
    ]
    if not rain_known:
        says.append("It tells of no rain on any day: rain is taken as not measured.")
    months = _usual_months(readings) if typical else ()
    return WeatherFile(
        document.file,
        "epw",
        document.digest,
        () if typical else readings,
        latitude,
        longitude,
        altitude,
        tuple(says),
        usual_months=months,
    )


def _hours(
    document: Document, rows: Sequence[Sequence[str]], faults: list[Fault]
) -> Iterator[_Hour]:
    _refuse_several_an_hour(document, rows)
    for line, row in enumerate(rows[_HEAD_LINES:], start=_HEAD_LINES + 1):
        if not row:
            continue
        if len(row) < _RAIN.at:
            faults.append(document.fault("the row breaks off", f"line {line}", str(len(row))))
            continue
        try:
            day = cells.iso_date(f"{int(row[0]):04d}-{int(row[1]):02d}-{int(row[2]):02d}")
            hour = int(row[3])
            if not 1 <= hour <= _HOURS:
                raise ValueError("hours run from 1 to 24")
            values = [_value(row, field) for field in _FIELDS_READ]
        except ValueError as fault:
            where = f"line {line}"
            faults.append(document.fault(str(fault), where, ",".join(row[:4]), "Fetch it again."))
            continue
        yield _Hour(day, hour - 1, *values)


_FIELDS_READ = (_TEMPERATURE, _HUMIDITY, _SUN, _WIND, _RAIN)


def _value(row: Sequence[str], field: _Field) -> float | None:
    text = row[field.at].strip() if field.at < len(row) else ""
    if not text:
        return None
    try:
        number = cells.plain_number(text)
    except ValueError as fault:
        raise ValueError(f"the {field.name} is no number: {text[:20]}") from fault
    return None if number >= field.missing else number * field.factor


def _refuse_several_an_hour(document: Document, rows: Sequence[Sequence[str]]) -> None:
    if len(rows) <= _HEAD_LINES or rows[_HEAD_LINES - 1][0].strip().upper() != "DATA PERIODS":
        raise document.refusal(
            "an EPW has eight header lines, the last DATA PERIODS, and rows of hours",
            f"line {_HEAD_LINES}",
            remedy="Fetch it again.",
        )
    each = rows[_HEAD_LINES - 1][2].strip()
    if each != "1":
        where = f"line {_HEAD_LINES}"
        raise document.refusal("the rows are no whole hours", where, each, "Fetch hourly rows.")


def _standard_time(document: Document, place: Sequence[str]) -> timezone:
    offset = _fact(place, 8)
    if offset is None or abs(offset) > 14:
        raise document.refusal("the time zone is no number of hours", "line 1", place[8])
    return timezone(timedelta(hours=offset))


def _fact(place: Sequence[str], at: int) -> float | None:
    try:
        return float(place[at])
    except (ValueError, IndexError):
        return None


def _days(
    document: Document, hours: Sequence[_Hour], clock: timezone, *, rain_known: bool
) -> Iterator[Reading]:
    """Whole days of standard time; a quantity with an hour missing is missing that day."""
    book = DayBook()
    by_day: dict[date, list[_Hour]] = defaultdict(list)
    for one in hours:
        by_day[one.day].append(one)
    for day, held in by_day.items():
        book.open_day(day)
        celsius = _whole([one.celsius for one in held])
        rain, sun = _whole([one.rain for one in held]), _whole([one.sun for one in held])
        rh, wind = _whole([one.rh for one in held]), _whole([one.wind for one in held])
        if celsius is not None:
            book.put(day, "t_min", min(celsius))
            book.put(day, "t_max", max(celsius))
        if rain is not None and rain_known:
            book.put(day, "rain_mm", round(sum(rain), 2))
        if sun is not None:
            book.put(day, "solar_mj_m2", sum(sun))
        if rh is not None:
            book.put(day, "rh_mean", sum(rh) / len(rh))
        if wind is not None:
            book.put(day, "wind_m_s", sum(wind) / len(wind))
    zone = ZoneInfo(document.time_zone) if document.time_zone else clock
    for day, word in _leaves(hours, clock, zone).items():
        if day in by_day:
            book.mark(day, word)
    yield from book.readings()


def _whole(values: Sequence[float | None]) -> list[float] | None:
    """All 24 hours of a day; None where one is missing or told twice."""
    known = [value for value in values if value is not None]
    return known if len(values) == len(known) == _HOURS else None


def _leaves(hours: Sequence[_Hour], clock: timezone, zone: tzinfo) -> Mapping[date, str]:
    """What each hour did to leaves, by the plot's own clock."""
    by_day: dict[date, list[tuple[int, str]]] = defaultdict(list)
    for one in hours:
        start = datetime(one.day.year, one.day.month, one.day.day, one.hour, tzinfo=clock)
        local = start.astimezone(UTC).astimezone(zone)
        by_day[local.date()].append((local.hour, hour_letter(one.rh, one.rain)))
    words = {day: day_mark(letters) for day, letters in by_day.items()}
    return {day: word for day, word in words.items() if word}


def _typical(place: Sequence[str], readings: Sequence[Reading]) -> bool:
    """True for a year that never happened: by its own name, or by the years of its months."""
    days = sorted(reading.day for reading in readings)
    gaps = any((b - a).days > 1 for a, b in pairwise(days))
    named = _TYPICAL.search(place[4]) is not None
    return named or (gaps and len({day.year for day in days}) > 1)


def _usual_months(readings: Sequence[Reading]) -> tuple[UsualMonth, ...]:
    """Means of each month; empty where one of the twelve is not known."""
    found = []
    for month in range(1, 13):
        held = [r for r in readings if r.day.month == month]
        lows = [r.t_min for r in held if r.t_min is not None]
        highs = [r.t_max for r in held if r.t_max is not None]
        rain = [r.rain_mm for r in held if r.rain_mm is not None]
        if len(lows) < _LEAST_DAYS:
            return ()
        whole = len(rain) == len(held)
        mean = sum(lows) / len(lows), sum(highs) / len(highs)
        found.append(UsualMonth(month, *mean, sum(rain) if whole else None))
    return tuple(found)


EPW = Form("epw", _recognises, _read)
