"""Open-Meteo JSON, archive and forecast: hours gathered into the plot's own days, and daily values.

Layout as recalled from the service's description (place.md 12.3). Units are read from the `*_units`
fields. Hours win over daily values, because one offset is used for the whole reply, which is wrong
across a daylight-saving change. Data under CC BY 4.0.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from lattermath.weather.days import FORECAST, Field, WeatherFile
from lattermath.weather.forms import cells
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import Document, Form
from lattermath.weather.forms.open_meteo_block import Block, block
from lattermath.weather.forms.open_meteo_hours import gather_hours

_DAILY: dict[str, tuple[Field, str]] = {
    "temperature_2m_min": ("t_min", "temperature"),
    "temperature_2m_max": ("t_max", "temperature"),
    "precipitation_sum": ("rain_mm", "depth"),
    "relative_humidity_2m_mean": ("rh_mean", "share"),
    "wind_speed_10m_mean": ("wind_m_s", "speed"),
    "shortwave_radiation_sum": ("solar_mj_m2", "energy"),
    "et0_fao_evapotranspiration": ("et0_mm", "depth"),
    "precipitation_probability_max": ("rain_chance", "share"),
}

_UTC_NAMES = ("GMT", "UTC", "Etc/UTC", "Etc/GMT")


@dataclass(frozen=True, slots=True)
class Clock:
    """Whose clock the file's own stamps are on."""

    zone: str  # zone named by the file, or by the grower where the file names none
    offset: timedelta | None  # of every stamp in the file; None: not told


def _recognises(document: Document) -> bool:
    text = document.text.lstrip()
    return text[:1] in "{[" and (
        '"hourly"' in text or '"daily"' in text or ('"error"' in text and '"reason"' in text)
    )


def _read(document: Document, form: str) -> WeatherFile:
    return read_reply(document, _reply(document), form)


def read_reply(document: Document, reply: Mapping[str, Any], form: str) -> WeatherFile:
    """The days of a reply. Raises WeatherFileError for unknown units, clocks and several models."""
    clock = _clock(document, reply)
    book, says = DayBook(), []
    hourly, daily = block(document, reply, "hourly"), block(document, reply, "daily")
    if hourly is None and daily is None:
        raise document.refusal(
            "the reply holds neither hourly nor daily values",
            remedy="Ask for daily values, or for hourly ones.",
        )
    if hourly is not None:
        zone = document.time_zone or clock.zone
        says.append(gather_hours(document, hourly, clock.offset, zone, book))
    if daily is not None:
        says.extend(_take_daily(document, daily, clock, book))
    if form == OPEN_METEO_FORECAST_NAME or _has_chance(reply):
        for day in list(book.values):
            book.mark(day, FORECAST)
    says.extend(_source_words(reply, form))
    return WeatherFile(
        document.file,
        form,
        document.digest,
        book.readings(),
        _float(reply, "latitude"),
        _float(reply, "longitude"),
        _float(reply, "elevation"),
        tuple(says),
    )


def _reply(document: Document) -> Mapping[str, Any]:
    def no_number(text: str) -> float:
        raise document.refusal("this is no number", "reply", text, "Fetch it again.")

    try:
        reply = json.loads(document.text, parse_constant=no_number)
    except RecursionError as fault:
        raise document.refusal(
            "the JSON is nested without end", remedy="Fetch it again."
        ) from fault
    except json.JSONDecodeError as fault:
        where = f"line {fault.lineno}, column {fault.colno}"
        raise document.refusal(
            "the JSON breaks off or is damaged", where, fault.msg, "Fetch it again."
        ) from fault
    if isinstance(reply, list):
        if len(reply) != 1:
            raise document.refusal(
                "the reply holds several places", value=str(len(reply)), remedy="Ask for one place."
            )
        reply = reply[0]
    if not isinstance(reply, dict):
        raise document.refusal("this is no reply of a weather service", remedy="Fetch it again.")
    if reply.get("error"):
        reason = str(reply.get("reason", "no reason given"))
        raise document.refusal(
            "the service answered with an error",
            value=reason,
            remedy="Mend the request and fetch it again.",
        )
    return reply


def _clock(document: Document, reply: Mapping[str, Any]) -> Clock:
    zone, offset = reply.get("timezone"), reply.get("utc_offset_seconds")
    if zone is None and document.time_zone is None:
        raise document.refusal(
            "the file does not say whose days and hours it keeps",
            "timezone",
            remedy="Fetch it with a time zone, or say the plot's time zone.",
        )
    shift = None
    if isinstance(offset, int | float) and abs(offset) <= 86_400:
        shift = timedelta(seconds=offset)
    return Clock(str(zone or document.time_zone), shift)


def _take_daily(document: Document, daily: Block, clock: Clock, book: DayBook) -> list[str]:
    """Daily values where the hours gave none."""
    says: list[str] = []
    days = [_day(document, daily, clock, n) for n in range(len(daily.times))]
    for name, (field, quantity) in _DAILY.items():
        values = daily.values(document, name, quantity)
        if values is None:
            continue
        for n, (day, value) in enumerate(zip(days, values, strict=True)):
            if not book.has(day, field):
                book.put(day, field, _checked(document, value, field, n))
        says.extend(daily.notes(name))
    for day in days:
        book.open_day(day)
    if document.time_zone not in (None, clock.zone) and clock.zone in _UTC_NAMES:
        says.append(
            "Daily values are of UTC days, not of the plot's own: an evening or dawn extreme may "
            "stand a day off. Fetch the file with the plot's time zone to mend that."
        )
    return says


def _checked(document: Document, value: float | None, field: Field, n: int) -> float | None:
    if field != "rain_chance" or value is None:
        return value
    if not 0 <= value <= 100:
        raise document.refusal(
            "a chance lies between 0 and 100 %", f"daily[{n}]", f"{value:g}", "Fetch it again."
        )
    return value / 100


def _day(document: Document, daily: Block, clock: Clock, n: int) -> date:
    stamp = daily.times[n]
    try:
        if isinstance(stamp, int | float):  # unixtime: midnight of the file's own clock, in UTC
            shift = clock.offset or timedelta()
            return (datetime(1970, 1, 1) + timedelta(seconds=stamp) + shift).date()
        return cells.iso_date(str(stamp)[:10])
    except (ValueError, OverflowError) as fault:
        raise document.refusal(
            "this is no date", f"daily.time[{n}]", str(stamp), "Fetch it again."
        ) from fault


def _has_chance(reply: Mapping[str, Any]) -> bool:
    """Only a forecast carries a chance of rain."""
    return any(
        "precipitation_probability" in name
        for part in ("hourly", "daily")
        for name in (reply.get(part) or {})
    )


def _source_words(reply: Mapping[str, Any], form: str) -> list[str]:
    height = _float(reply, "elevation")
    where = "the values are of a grid point, not of a station"
    if height is not None:
        where += f", set to {height:.0f} m"
    if form == OPEN_METEO_FORECAST_NAME:
        return [f"Forecast of an open weather service; {where}."]
    return [
        f"Archive of an open weather service, worked out from a model: {where}; "
        "it has too many days of drizzle and its extremes are damped."
    ]


def _float(reply: Mapping[str, Any], name: str) -> float | None:
    value = reply.get(name)
    return float(value) if isinstance(value, int | float) else None


OPEN_METEO_NAME, OPEN_METEO_FORECAST_NAME = "open-meteo json", "open-meteo forecast json"
OPEN_METEO = Form(OPEN_METEO_NAME, _recognises, lambda document: _read(document, OPEN_METEO_NAME))
OPEN_METEO_FORECAST = Form(
    OPEN_METEO_FORECAST_NAME,
    lambda _: False,  # told apart from the archive by the caller, who knows when it was fetched
    lambda document: _read(document, OPEN_METEO_FORECAST_NAME),
)
