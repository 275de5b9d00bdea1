"""One local day of weather at the plot, and a weather file as it was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal, NamedTuple

from lattermath.weather.units import Unit

Field = Literal[
    "t_min", "t_max", "rain_mm", "rh_mean", "wind_m_s", "solar_mj_m2", "et0_mm", "rain_chance"
]
FORECAST = "forecast"
OWN = "typed by the grower"


class Reading(NamedTuple):
    """One local day at the plot. None is missing, which is never zero.

    A tuple, since a record holds thousands of days and every plan reads them all.

    Temperatures in C, rain and reference evapotranspiration in mm a day, humidity in percent,
    wind in m/s at 2 m as a mean of the day, sunshine energy in MJ/m2, rain chance from 0 to 1.
    """

    day: date
    t_min: float | None
    t_max: float | None
    rain_mm: float | None
    rh_mean: float | None = None
    wind_m_s: float | None = None
    solar_mj_m2: float | None = None
    et0_mm: float | None = None
    marks: tuple[str, ...] = ()
    rain_chance: float | None = None  # forecasts only
    rain_known: date | None = None  # day a total of several days was read; None: the day itself

    def with_values(self, values: Mapping[Field, float | None], *marks: str) -> Reading:
        """The same day with these values changed and these marks added."""
        changed: dict[str, Any] = {str(name): value for name, value in values.items()}
        return self._replace(marks=(*self.marks, *marks), **changed)

    @property
    def is_forecast(self) -> bool:
        """True when this day was forecast and not measured."""
        return bool(self.marks) and any(mark.startswith(FORECAST) for mark in self.marks)

    @property
    def is_own(self) -> bool:
        """True when the grower typed this day."""
        return OWN in self.marks

    @property
    def issued(self) -> date | None:
        """The day the forecast was made, where its mark tells."""
        for mark in self.marks:
            if mark.startswith(FORECAST + " of "):
                return date.fromisoformat(mark.removeprefix(FORECAST + " of "))
        return None


@dataclass(frozen=True, slots=True)
class UsualMonth:
    """Usual weather of one month: mean daily minimum and maximum [C], rain of the month [mm]."""

    month: int
    t_min: float
    t_max: float
    rain_mm: float | None


@dataclass(frozen=True, slots=True)
class WeatherFile:
    """A weather file as read: days in order, its digest, and what was assumed, in words.

    A typical year has no days that happened: it gives its twelve `usual_months` instead.
    """

    file: str
    form: str
    digest: str
    readings: tuple[Reading, ...]
    latitude: float | None
    longitude: float | None
    altitude_m: float | None
    says: tuple[str, ...]
    units: Mapping[Field, Unit] = field(default_factory=dict)  # as written, where not C and mm
    usual_months: tuple[UsualMonth, ...] = ()
