"""Futures about a usual course, where there are fewer than three past years.

The course comes from one or two years of readings, from monthly normals typed by hand, or, roughly,
from the highs and lows of this season's days, the usual date of the first frost and the latitude.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.measure import measure
from lattermath.weather.calendar_days import YEAR_DAYS, next_on, year_days
from lattermath.weather.climatology import Usual
from lattermath.weather.fitted_wave import Days, allowed, off_the_wave, spread_of
from lattermath.weather.generated_days import (
    WET_AMOUNT_MM,
    WET_DAY_MM,
    Habit,
    Spread,
    course_error,
    departures,
    rain_days,
)
from lattermath.weather.traces import Method, Traces, apart, usual_table

Values = NDArray[np.float64]

FUTURES = 100  # judgement
FUTURES_FOR_FROST = 400  # judgement: enough to place the median first frost within a day or so
_FROST_AHEAD = 240  # judgement: a usual first frost further off than this has passed this season
_RAIN_MM = 2.3  # usual rain of a summer day where nothing is known: Brussels (derived, A7)


@dataclass(frozen=True, slots=True)
class MonthNormal:
    """Usual weather of a month: mean daily minimum and maximum [C], rain of the month [mm]."""

    t_min: float
    t_max: float
    rain_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """The days wanted, and the day from which the season's chance is drawn.

    Chance is drawn from the turn of the year on (south of the equator from the middle of the year)
    and cut, so that a future keeps its weather from one day's plan to the next.
    """

    as_of: date
    n_days: int
    southern: bool

    @property
    def passed(self) -> int:
        """Days from the turn to `as_of`."""
        if not self.southern:
            return (self.as_of - date(self.as_of.year, 1, 1)).days
        turn = date(self.as_of.year if self.as_of.month >= 7 else self.as_of.year - 1, 7, 1)
        return (self.as_of - turn).days


def from_short_record(usual: Usual, run: Run, rng: np.random.Generator) -> Traces:
    """Futures about the usual course of one or two years of readings.

    What the record can bear is fitted to it: the course, the spread of single days, how departures
    and wet days hold from one day to the next, the rain of a wet day. The course of so few years is
    itself in doubt, by what such days leave of chance in their mean. How far seasons differ beyond
    what their days add up to takes many years: in warmth it is no less than in one temperate
    record, in rain, like the shape of a wet day's amounts, as there.
    """
    table = usual_table(usual)
    says = (
        "generated from a record of less than three years, which cannot tell how far seasons differ"
    )
    if np.isnan(table[2]).any():
        table[2] = _RAIN_MM
        says += f"; rain as in a temperate summer, {measure(_RAIN_MM, 'mm')} a day"
    wet = WET_AMOUNT_MM if np.isnan(usual.wet_amount_mm) else usual.wet_amount_mm
    spread = Spread(usual.sd_min, usual.sd_max)
    habit = Habit.of(usual.same_day, usual.next_day, usual.wet_after_wet)
    return _about(table, run, spread, wet, "generated", says, rng, habit, usual.years)


def from_normals(normals: Mapping[int, MonthNormal], run: Run, rng: np.random.Generator) -> Traces:
    """Futures about monthly normals, run straight from mid-month to mid-month.

    ValueError for a month that is none; WeatherFileError for a minimum above its maximum.
    """
    months = sorted(normals)
    if not months or not set(months) <= set(range(1, 13)):
        raise ValueError("normals are keyed by month, 1 to 12")
    for month in months:
        if normals[month].t_min > normals[month].t_max:
            raise WeatherFileError(
                Fault(
                    "the usual minimum lies above the maximum",
                    f"normals, month {month}",
                    f"{normals[month].t_min:g}",
                    "Check the two figures.",
                )
            )
    known_rain = {m: n.rain_mm for m, n in normals.items() if n.rain_mm is not None}
    table = np.stack(
        [
            _by_month({m: normals[m].t_min for m in months}),
            _by_month({m: normals[m].t_max for m in months}),
            _by_month({m: mm / 30.4 for m, mm in known_rain.items()} or {1: _RAIN_MM}),
        ]
    )
    says = f"monthly normals typed by hand ({counted(len(months), 'months')})"
    if not known_rain:
        says += f"; rain as in a temperate summer, {measure(_RAIN_MM, 'mm')} a day"
    return _about(table, run, Spread(), WET_AMOUNT_MM, "normals", says, rng)


def from_few_days(
    days: Days, usual_first_frost: str | None, latitude: float, run: Run, rng: np.random.Generator
) -> Traces:
    """Futures about one wave of the year through the highs and lows of this season's days.

    Each future has a wave of its own, of those that the days allow beside the swing that is usual
    at this latitude. Where a usual first frost is told and still to come, the level of each is the
    one that puts the first frost of half of its throws on that day.
    Holds for: lowlands within about four months; rough, and says so.
    """
    to_frost = _days_to(usual_first_frost, run.as_of)
    today, spread = int(year_days(run.as_of, 1)[0]), spread_of(days, latitude)
    of_frost, of_days, of_waves, of_shape = rng.spawn(4)
    level_of = None
    if to_frost is not None:
        places = year_days(run.as_of, to_frost + 1)
        noise, _ = departures(FUTURES_FOR_FROST, to_frost + 1, spread, of_frost)
        noise = noise + off_the_wave(FUTURES_FOR_FROST, today, of_shape)[:, places]
        level_of = partial(_frost_level, places, noise)
    waves = allowed(days, latitude, spread, FUTURES, of_waves, level_of)
    low, high = waves.courses()
    table = np.stack([low.mean(0), high.mean(0), np.full(YEAR_DAYS, _RAIN_MM)])
    n = len(days.place)
    says = f"rough: from the highs and lows of {n} day{'s' if n != 1 else ''}"
    says += f", {days.told} of them forecast" if days.told else ""
    says += _frost_words(usual_first_frost, to_frost, waves.fits)
    says += f"; rain as in a temperate summer, {measure(_RAIN_MM, 'mm')} a day"
    shape = off_the_wave(FUTURES, today, of_waves)
    off = low - table[0] + shape, high - table[1] + shape
    return _about(table, run, spread, WET_AMOUNT_MM, "rough", says, of_days, off=off)


def _frost_level(places: NDArray[np.intp], noise: Values, swung: Values) -> float:
    """Mean low of the year at which half of the futures have had a frost by the last of places.

    noise : departures of the minimum, (n_futures, n_places). swung : of the year, (366,). [K]
    """
    return -float(np.median((swung[places] + noise).min(axis=1)))


def _days_to(usual_first_frost: str | None, as_of: date) -> int | None:
    """Days to the usual first frost; None when it is not known or has passed this season."""
    if usual_first_frost is None:
        return None
    days = (next_on(usual_first_frost, as_of) - as_of).days
    return days if days <= _FROST_AHEAD else None


def _frost_words(usual: str | None, to_frost: int | None, met: bool) -> str:
    if usual is None:
        return " and a usual yearly swing; no usual first frost is known"
    if to_frost is None:
        return " and a usual yearly swing; the usual first frost has passed"
    words = f" and a first frost usually about {date.fromisoformat('2000-' + usual):%-d %b}"
    return words if met else words + " (which the lows of these days hardly fit)"


def _by_month(values: Mapping[int, float]) -> Values:
    months = sorted(values)
    middle = [(month - 0.5) * YEAR_DAYS / 12 for month in months]
    by_day: Values = np.interp(
        np.arange(YEAR_DAYS) + 0.5, middle, [values[m] for m in months], period=YEAR_DAYS
    )
    return by_day


def _about(
    table: Values,
    run: Run,
    spread: Spread,
    wet_amount: float,
    method: Method,
    says: str,
    rng: np.random.Generator,
    habit: Habit | None = None,
    years: float = float("inf"),
    off: tuple[Values, Values] | None = None,
) -> Traces:
    """Futures about a usual course by place in the year, shape (3, 366).

    years : that the course rests on; of few it is itself in doubt, which widens the futures.
    off   : how far the course of each future lies from it, lows and highs, (n_futures, 366). [K]
    """
    of_heat, of_rain = rng.spawn(2)
    whole, cut = run.passed + run.n_days, slice(run.passed, None)
    place = year_days(run.as_of - timedelta(days=run.passed), whole)
    habit = habit or Habit()
    low, high = departures(FUTURES, whole, spread, of_heat, habit)
    if off is not None:
        low, high = low + off[0][:, place], high + off[1][:, place]
    rain = rain_days(table[2, place], FUTURES, of_rain, wet_amount, habit.wet_after_wet)
    if np.isfinite(years):
        few = 1.0 / max(years, 1.0)
        low, high = (
            one + np.sqrt(few + more) * course_error(one)
            for one, more in zip((low, high), habit.lacks(), strict=True)
        )
        usual = np.maximum(table[2, place], WET_DAY_MM / 10)
        rain = rain * np.maximum(1.0 + np.sqrt(few) * course_error(rain) / usual, 0.0)
    t_min, t_max = apart((table[0, place] + low)[:, cut], (table[1, place] + high)[:, cut])
    return Traces(
        run.as_of,
        t_min,
        t_max,
        rain[:, cut],
        (None,) * FUTURES,
        method,
        says,
        table,
        wet_amount,
    )
