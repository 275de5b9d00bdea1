"""What an open weather service is asked, and its answer as a forecast.

The question and the answer are those of the documented JSON that `forms/open_meteo.py` reads
(place.md 12.3); names of the query by public programs that ask the same (read), and not tried
against the live service.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import Any
from urllib.parse import urlencode

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import WeatherFile
from lattermath.weather.forms.open_meteo import OPEN_METEO_FORECAST_NAME
from lattermath.weather.readings import as_forecast, read_weather_bytes

FETCHED = "forecast fetched"  # the name under which the record keeps it
PLACES = 2  # decimals of a degree that are sent: about a kilometre, finer than any forecast's grid
_HOURLY = (
    "temperature_2m",
    "relative_humidity_2m",
    "precipitation",
    "wind_speed_10m",
    "shortwave_radiation",
)
_DAILY = (
    "temperature_2m_max",
    "temperature_2m_min",
    "precipitation_sum",
    "precipitation_probability_max",
    "et0_fao_evapotranspiration",
)
_FARTHEST_DEGREES = 1.0  # judgement: no grid is coarser
_UNSAID = ("generationtime_ms",)  # differs each time though the weather does not


def question(latitude: float, longitude: float, zone: str, days: int, past_days: int) -> str:
    """The query of one request: the place to about a kilometre, hours and days, the plot's zone."""
    return urlencode(
        {
            "latitude": round(latitude, PLACES),
            "longitude": round(longitude, PLACES),
            "hourly": ",".join(_HOURLY),
            "daily": ",".join(_DAILY),
            "timezone": zone,
            "forecast_days": days,
            "past_days": past_days,
        },
        safe=",/",
    )


def answer(data: bytes, place: tuple[float, float], zone: str, today: date) -> WeatherFile:
    """The days of an answer, all of them forecast: a service has measured none of them here.

    place : latitude and longitude that were asked for.
    Raises WeatherFileError for an answer that is damaged, of another place or of another form.
    """
    read = read_weather_bytes(
        _settled(data), FETCHED, form=OPEN_METEO_FORECAST_NAME, time_zone=zone
    )
    for found, asked, name in zip(
        (read.latitude, read.longitude), place, ("latitude", "longitude"), strict=True
    ):
        if found is None or abs((found - asked + 180) % 360 - 180) > _FARTHEST_DEGREES:
            what, value = f"the answer is of another {name}", f"{found}, asked {asked:g}"
            raise WeatherFileError(Fault(what, FETCHED, value, "Ask a service of the same form."))
    return as_forecast(read, today)


def _settled(data: bytes) -> bytes:
    """The answer without what differs each time, so that the same weather is the same file."""
    try:
        reply: Any = json.loads(data)
    except (ValueError, RecursionError):
        return data  # its form says what is wrong
    if not isinstance(reply, Mapping):
        return data
    kept = {name: part for name, part in reply.items() if name not in _UNSAID}
    return json.dumps(kept, ensure_ascii=False, sort_keys=True).encode()
