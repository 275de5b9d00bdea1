"""Hours of an Open-Meteo reply gathered into local days of the plot.

A temperature stands for its own instant. Rain, sunshine energy and evapotranspiration at an hour
cover the hour before it, so what stands at midnight belongs to the day that ends. A day counts only
when all its hours are there: 23 or 25 of them when the clocks change.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lattermath.weather.days import Field
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import Document
from lattermath.weather.forms.open_meteo_block import Block
from lattermath.weather.leaf_hours import day_mark, hour_letter

_HOUR = timedelta(hours=1)
_MJ_FROM_WATT_HOURS = 0.0036


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


# variable, quantity, field, how a day is made of its hours, whether an hour covers the hour before
_HOURLY: tuple[tuple[str, str, Field, Callable[[Sequence[float]], float], bool], ...] = (
    ("temperature_2m", "temperature", "t_min", min, False),
    ("temperature_2m", "temperature", "t_max", max, False),
    ("precipitation", "depth", "rain_mm", sum, True),
    ("relative_humidity_2m", "share", "rh_mean", _mean, False),
    ("wind_speed_10m", "speed", "wind_m_s", _mean, False),
    (
        "shortwave_radiation",
        "power",
        "solar_mj_m2",
        lambda values: sum(values) * _MJ_FROM_WATT_HOURS,
        True,
    ),
    ("et0_fao_evapotranspiration", "depth", "et0_mm", sum, True),
)


def gather_hours(
    document: Document, hourly: Block, offset: timedelta | None, zone_name: str, book: DayBook
) -> str:
    """Enter every complete local day into the book; gives the sentence that says whose days."""
    if offset is None:
        raise document.refusal(
            "the file does not say on which clock its hours are",
            "utc_offset_seconds",
            remedy="Fetch it again with a time zone.",
        )
    try:
        zone = ZoneInfo(zone_name)
    except (KeyError, ValueError, OSError) as fault:
        raise document.refusal(
            "there is no such time zone",
            "timezone",
            zone_name,
            "Say the plot's time zone, such as Europe/London.",
        ) from fault
    stamps = [_utc(document, stamp, offset, n) for n, stamp in enumerate(hourly.times)]
    at = [stamp.astimezone(zone).date() for stamp in stamps]
    before = [(stamp - _HOUR).astimezone(zone).date() for stamp in stamps]
    length = {day: _hours_of(day, zone) for day in {*at, *before}}
    for name, quantity, field, make, preceding in _HOURLY:
        values = hourly.values(document, name, quantity)
        if values is None:
            continue
        by_day: dict[date, list[float]] = defaultdict(list)
        for day, value in zip(before if preceding else at, values, strict=True):
            if value is not None:
                by_day[day].append(value)
        for day, found in by_day.items():
            if len(found) >= length[day]:
                book.put(day, field, make(found))
    _mark_leaves(document, hourly, stamps, zone, book)
    return f"Hours are gathered into the days of {zone_name}; days with hours missing are left out."


def _mark_leaves(
    document: Document, hourly: Block, stamps: Sequence[datetime], zone: ZoneInfo, book: DayBook
) -> None:
    """Note what each hour did to leaves; rain at a stamp fell in the hour before it."""
    humid = hourly.values(document, "relative_humidity_2m", "share")
    if humid is None:
        return
    rain = hourly.values(document, "precipitation", "depth")
    fell = {s - _HOUR: r for s, r in zip(stamps, rain, strict=True)} if rain is not None else {}
    by_day: dict[date, list[tuple[int, str]]] = defaultdict(list)
    for stamp, share in zip(stamps, humid, strict=True):
        local = stamp.astimezone(zone)
        by_day[local.date()].append((local.hour, hour_letter(share, fell.get(stamp))))
    for day, hours in by_day.items():
        if mark := day_mark(hours):
            book.mark(day, mark)


def _utc(document: Document, stamp: object, offset: timedelta, n: int) -> datetime:
    try:
        if isinstance(stamp, int | float):
            return datetime.fromtimestamp(stamp, UTC)
        return datetime.fromisoformat(str(stamp)).replace(tzinfo=UTC) - offset
    except (ValueError, OverflowError, OSError) as fault:
        raise document.refusal(
            "this is no hour", f"hourly.time[{n}]", str(stamp), "Fetch it again."
        ) from fault


def _hours_of(day: date, zone: ZoneInfo) -> int:
    """Whole hours between this local midnight and the next."""
    start = datetime.combine(day, time(), zone).astimezone(UTC)
    end = datetime.combine(day + timedelta(days=1), time(), zone).astimezone(UTC)
    return int((end - start) / _HOUR)
