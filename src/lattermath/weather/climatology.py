"""The usual weather of each day of the year, as a record shows it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.weather.calendar_days import YEAR_DAYS
from lattermath.weather.generated_days import WET_DAY_MM, wet_chance

Values = NDArray[np.float64]

# judgement: fewer measured days than these cannot carry so many harmonics of the year
_DAYS_FOR_HARMONICS = ((1000, 3), (600, 2), (300, 1))
_DAYS_A_MONTH = 10  # judgement: a month with fewer measured days is not known
_RAIN_DAYS_NEEDED = 30  # judgement
_PAIRS_NEEDED = 300  # judgement: days after measured days that day-to-day habits rest on


@dataclass(frozen=True, slots=True, eq=False)
class Usual:
    """Usual minimum, maximum [C] and rain [mm a day] by place in a leap year, shape (366,).

    `sd_min` and `sd_max` are the spread of single days about them [K]; `same_day`, `next_day` and
    `wet_after_wet` say how departures from the usual hold from day to day, NaN where the record
    cannot bear it. `seasons` is False when the
    record covers too little of the year: the values are then one mean for all days. NaN where
    nothing at all was measured.
    """

    t_min: Values
    t_max: Values
    rain: Values
    sd_min: float
    sd_max: float
    wet_amount_mm: float  # mean of days with 0.3 mm or more
    seasons: bool
    same_day: float = float("nan")  # correlation of a day's maximum and minimum
    next_day: Values = field(
        default_factory=lambda: np.full((2, 2), np.nan)
    )  # see `generated_days`
    wet_after_wet: float = float("nan")  # how much likelier rain is after a wet day
    years: float = float("nan")  # of measured days


def usual_weather(place: NDArray[np.int64], t_min: Values, t_max: Values, rain: Values) -> Usual:
    """Least-squares harmonics of the year through the measured days; NaN days are left out.

    place : place of each day in a leap year, 0 to 365, shape (n_days,); one day after the other.
    Source: common practice (harmonics of the year; two or three suffice for daily extremes).
    """
    low, sd_min, seasons = _fit(place, t_min)
    high, sd_max, _ = _fit(place, t_max)
    wet = rain[rain >= WET_DAY_MM]  # NaN compares False
    amount = float(wet.mean()) if wet.size >= _RAIN_DAYS_NEEDED else float("nan")
    usual_rain = _usual_rain(place, rain)
    same_day, next_day = float("nan"), np.full((2, 2), np.nan)
    if seasons:
        off = np.stack([(t_max - high[place]) / sd_max, (t_min - low[place]) / sd_min])
        same_day, next_day = _day_to_day(off)
    holds = _wet_after_wet(rain, wet_chance(usual_rain[place], amount))
    years = float((~np.isnan(t_max)).sum()) / YEAR_DAYS
    return Usual(
        low, high, usual_rain, sd_min, sd_max, amount, seasons, same_day, next_day, holds, years
    )


def _day_to_day(off: Values) -> tuple[float, Values]:
    """Correlations of departures (maximum, minimum) on one day, and with those of the day before.

    off : standardised, (2, n_days), NaN where not measured.
    """
    known = np.asarray(~np.isnan(off).any(axis=0))
    pair = known[1:] & known[:-1]
    if pair.sum() < _PAIRS_NEEDED:
        return float("nan"), np.full((2, 2), np.nan)
    today = off[:, known] @ off[:, known].T / known.sum()
    scale = np.sqrt(np.outer(today.diagonal(), today.diagonal()))
    after = off[:, 1:][:, pair] @ off[:, :-1][:, pair].T / pair.sum()
    return float(today[0, 1] / scale[0, 1]), np.asarray(after / scale)


def _wet_after_wet(rain: Values, chance: Values) -> float:
    """Slope of rain or none on rain or none of the day before, each beside its usual chance."""
    wet = np.where(np.isnan(rain), np.nan, (rain >= WET_DAY_MM).astype(np.float64))
    off = np.asarray(wet - chance)
    pair = ~np.isnan(off[1:]) & ~np.isnan(off[:-1])
    if pair.sum() < _PAIRS_NEEDED or (rain >= WET_DAY_MM).sum() < _RAIN_DAYS_NEEDED:
        return float("nan")
    before = off[:-1][pair]
    return float((off[1:][pair] * before).sum() / (before**2).sum())


def _harmonics(place: NDArray[np.int64]) -> int:
    """How many harmonics the measured days can carry."""
    months = np.bincount(place * 12 // YEAR_DAYS, minlength=12)
    if (months < _DAYS_A_MONTH).any():
        return 0
    return next((k for days, k in _DAYS_FOR_HARMONICS if place.size >= days), 0)


def _waves(place: NDArray[np.int64], harmonics: int) -> Values:
    angle = 2 * np.pi * (place[:, None] + 0.5) * np.arange(1, harmonics + 1) / YEAR_DAYS
    return np.hstack([np.ones((place.size, 1)), np.cos(angle), np.sin(angle)])


def _fit(place: NDArray[np.int64], values: Values) -> tuple[Values, float, bool]:
    known = ~np.isnan(values)
    if not known.any():
        return np.full(YEAR_DAYS, np.nan), float("nan"), False
    harmonics = _harmonics(place[known])
    year = _waves(np.arange(YEAR_DAYS), harmonics)
    # one row a day of the year, weighted by its count: the same fit on 366 rows
    count = np.bincount(place[known], minlength=YEAR_DAYS).astype(float)
    total = np.bincount(place[known], weights=values[known], minlength=YEAR_DAYS)
    weighted = year.T * count
    usual: Values = year @ np.linalg.solve(weighted @ year, year.T @ total)
    return usual, float(np.std(values[known] - usual[place[known]])), harmonics > 0


def _usual_rain(place: NDArray[np.int64], rain: Values) -> Values:
    known = ~np.isnan(rain)
    if known.sum() < _RAIN_DAYS_NEEDED:
        return np.full(YEAR_DAYS, np.nan)
    return np.clip(_fit(place, rain)[0], 0.0, None)
