"""What is expected of the hours of one visit, from the futures: heat until dry, rain to come."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.science.hourly_temperature import hourly_temperature
from lattermath.vocabulary.evening import AirAt, Evening
from lattermath.weather.futures import Futures
from lattermath.weather.generated_days import WET_DAY_MM

Values = NDArray[np.float64]

DRY_AFTER = timedelta(hours=2)  # common practice: a spray deposit on leaves in mild air
SPRAYING = timedelta(minutes=30)  # judgement: the last job of a visit
SPELL_HOURS = 4.0  # judgement: rain of a wet day as one spell of this length at any hour
LONGEST_DRY = timedelta(hours=13.5)  # the longest dry_h of the method rows, and a clock change
_STEP_HOURS = 0.25
_LOW, _MIDDLE, _HIGH = 0.1, 0.5, 0.9


def evening(
    day: date,
    arrive: datetime,
    leave: datetime,
    runs: Futures,
    *,
    sunrise: datetime | None,
    sunset: datetime | None,
    civil_dusk: datetime | None = None,
    spraying_from: datetime | None = None,
    dry_after: timedelta = DRY_AFTER,
    wind_m_s: float | None = None,
    far: bool = False,
) -> Evening:
    """The expected hours of a visit on `day`; all times aware, on the plot's own clock.

    Air temperature [C] runs from the start of spraying (half an hour before leaving) until the
    deposit is dry: lowest at 10 %, mean at 50 %, highest at 90 % of the futures. The hottest of the
    next two days is at 90 %. Of a visit so far off that it is ruled again before anybody acts on it
    (`far`) the highest and the hottest are at 50 %: what may be as likely as not. Rain within 2 and
    12 hours of leaving is the share of futures wet on those days, each wet day having one spell of
    four hours at any time (judgement). `air` is the
    same temperature by the quarter hour, from arriving until anything is dry. Wind is not in
    the futures and stays unknown unless given. A day outside the futures is unknown in everything.
    """
    n, n_days = (day - runs.first).days, runs.t_min.shape[1]
    most = _MIDDLE if far else _HIGH
    by_quarters: tuple[AirAt, ...] = ()
    low = middle = high = hottest = soon = half_day = None
    if 0 <= n < n_days:
        starts = spraying_from or max(arrive, leave - SPRAYING)
        air = _air(runs, n, starts, leave + dry_after, sunrise, sunset)
        low = _quantile(air.min(axis=1), _LOW)
        middle = _quantile(air.mean(axis=1), _MIDDLE)
        high = _quantile(air.max(axis=1), most)
        by_quarters = _quarters(runs, n, arrive, leave + LONGEST_DRY, sunrise, sunset, most)
        soon, half_day = (rain_chance(runs, leave, hours) for hours in (2.0, 12.0))
    if n + 1 >= 0 and n + 2 < n_days:
        hottest = _quantile(runs.t_max[:, n + 1 : n + 3].max(axis=1), most)
    return Evening(
        day,
        arrive,
        leave,
        sunrise,
        sunset,
        civil_dusk,
        low,
        middle,
        high,
        hottest,
        soon,
        half_day,
        wind_m_s,
        forecast=0 <= n < runs.forecast_days,
        told_by=runs.told_by(n),
        air=by_quarters,
        far=far,
    )


def rain_chance(runs: Futures, start: datetime, hours: float) -> float | None:
    """Chance of rain within so many hours of `start`; None where the futures do not reach.

    A wet day (0.3 mm or more) has one spell of four hours, at any hour alike: it meets h hours of
    that day with chance (h + 4) / 24. Judgement; daily readings hold no hours.
    """
    stays_dry = np.ones(runs.n_futures)
    end = start.replace(tzinfo=None) + timedelta(hours=hours)
    at = start.replace(tzinfo=None)
    while at < end:
        midnight = datetime.combine(at.date() + timedelta(days=1), time())
        until = min(midnight, end)
        n = (at.date() - runs.first).days
        if not 0 <= n < runs.rain.shape[1]:
            return None
        part = (until - at) / timedelta(hours=1)
        meets = min(1.0, (part + SPELL_HOURS) / 24)
        stays_dry *= 1 - (runs.rain[:, n] >= WET_DAY_MM) * meets
        at = until
    return float(1 - stays_dry.mean())


def _quarters(
    runs: Futures,
    n: int,
    starts: datetime,
    ends: datetime,
    sunrise: datetime | None,
    sunset: datetime | None,
    most: float,
) -> tuple[AirAt, ...]:
    """1 in 10 and `most` of the air, every quarter of an hour; over midnight by the next day."""
    air = _air(runs, n, starts, ends, sunrise, sunset)
    midnight = datetime.combine(runs.first + timedelta(days=n + 1), time())
    if n + 1 < runs.t_min.shape[1] and _clock(ends, midnight) > 0:
        before = int(np.ceil(-_clock(starts, midnight) / _STEP_HOURS - 1e-9))
        first = starts + timedelta(hours=_STEP_HOURS) * before
        morning = _air(runs, n + 1, first, ends, _next(sunrise), _next(sunset))
        air = np.hstack([air[:, :before], morning])
    low, high = (np.quantile(air, share, axis=0) for share in (_LOW, most))
    step = timedelta(hours=_STEP_HOURS)
    return tuple(
        AirAt(starts + step * place, float(low[place]), float(high[place]))
        for place in range(air.shape[1])
    )


def _next(moment: datetime | None) -> datetime | None:
    return None if moment is None else moment + timedelta(days=1)


def _air(
    runs: Futures,
    n: int,
    starts: datetime,
    ends: datetime,
    sunrise: datetime | None,
    sunset: datetime | None,
) -> Values:
    """Air temperature of every future every quarter of an hour, shape (n_futures, n_times). [C]"""
    first, end = max(n - 1, 0), min(n + 2, runs.t_min.shape[1])
    midnight = datetime.combine(runs.first + timedelta(days=n), time())
    hours = np.arange(_clock(starts, midnight), _clock(ends, midnight) + 1e-9, _STEP_HOURS)
    rise, fall = (
        np.nan if moment is None else _clock(moment, midnight) for moment in (sunrise, sunset)
    )
    course = hourly_temperature(
        runs.t_min[:, first:end], runs.t_max[:, first:end], rise, fall, hours=hours
    )
    return course[:, n - first, :]


def _clock(moment: datetime, midnight: datetime) -> float:
    """Hours on the plot's clock after the midnight that begins the day; past 24 the next night."""
    return (moment.replace(tzinfo=None) - midnight) / timedelta(hours=1)


def _quantile(values: Values, share: float) -> float:
    return float(np.quantile(values, share))
