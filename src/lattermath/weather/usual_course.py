"""Futures about a usual course, where there are fewer than three past years.

The course comes from one or two years of readings, from monthly normals typed by hand, or, roughly,
from this week's highs and lows, the usual date of the first frost and the latitude.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.measure import measure
from lattermath.weather.calendar_days import YEAR_DAYS, next_on, year_days
from lattermath.weather.climatology import Usual
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
_WARMEST_NORTH = 204  # place of 23 July in a leap year; judgement: about a month after midsummer
_USUAL_SWING_K = 10.0  # judgement: half the range of the year, middle latitudes
_SWINGS_K = (2.0, 22.0)  # judgement: from a mild coast to deep inland
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


@dataclass(frozen=True, slots=True)
class Week:
    """This week's mean minimum and maximum [C], and on how many days they rest."""

    t_min: float
    t_max: float
    days: int
    told: int = 0  # of these, forecast and not measured


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


def from_this_week(
    week: Week, usual_first_frost: str | None, run: Run, rng: np.random.Generator
) -> Traces:
    """Futures about one wave of the year through this week's highs and lows.

    Its swing is set so that in half of the futures the first frost falls by the usual date. Without
    such a date, or once it has passed, the swing is 10 K (judgement).
    Holds for: outside the tropics, within about four months; rough, and says so.
    """
    wave = _wave(run.southern) - _wave(run.southern)[year_days(run.as_of, 1)[0]]
    to_frost = _days_to(usual_first_frost, run.as_of)
    swing, met = _USUAL_SWING_K, True
    of_frost, of_days = rng.spawn(2)
    if to_frost is not None:
        low, _ = departures(FUTURES_FOR_FROST, to_frost + 1, Spread(), of_frost)
        swing, met = _fit_swing(week.t_min, wave[year_days(run.as_of, to_frost + 1)], low)
    table = np.stack(
        [week.t_min + swing * wave, week.t_max + swing * wave, np.full(YEAR_DAYS, _RAIN_MM)]
    )
    says = f"rough: from the highs and lows of {week.days} day{'s' if week.days != 1 else ''}"
    says += f", {week.told} of them forecast" if week.told else ""
    says += _frost_words(usual_first_frost, to_frost, met)
    says += f"; rain as in a temperate summer, {measure(_RAIN_MM, 'mm')} a day"
    return _about(table, run, Spread(), WET_AMOUNT_MM, "rough", says, of_days)


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
    return words if met else words + " (which this week's lows hardly fit)"


def _fit_swing(low_now: float, wave: Values, noise: Values) -> tuple[float, bool]:
    """Half the yearly range that puts the median first frost on its day, and whether one does.

    wave  : 0 today, falling towards winter, up to the usual first frost, shape (n_days,).
    noise : departures of the minimum, (n_futures, n_days). [K]
    """

    def frosted(swing: float) -> float:
        return float((low_now + swing * wave + noise <= 0.0).any(axis=1).mean())

    below, above = _SWINGS_K
    if frosted(below) > 0.5:
        return below, False
    if frosted(above) < 0.5:
        return above, False
    for _ in range(30):
        middle = (below + above) / 2
        below, above = (middle, above) if frosted(middle) < 0.5 else (below, middle)
    return (below + above) / 2, True


def _wave(southern: bool) -> Values:
    """One wave of the year, 1 on the warmest day, shape (366,)."""
    warmest = _WARMEST_NORTH + (YEAR_DAYS / 2 if southern else 0)
    wave: Values = np.cos(2 * np.pi * (np.arange(YEAR_DAYS) - warmest) / YEAR_DAYS)
    return wave


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
) -> Traces:
    """Futures about a usual course by place in the year, shape (3, 366).

    years : that the course rests on; of few it is itself in doubt, which widens the futures.
    """
    of_heat, of_rain = rng.spawn(2)
    whole, cut = run.passed + run.n_days, slice(run.passed, None)
    place = year_days(run.as_of - timedelta(days=run.passed), whole)
    habit = habit or Habit()
    low, high = departures(FUTURES, whole, spread, of_heat, habit)
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
