"""Possible runs of weather from today to the end of the season."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.vocabulary.evening import OWN_FORECAST
from lattermath.weather.calendar_days import YEAR_DAYS, year_days
from lattermath.weather.daily_record import DailyRecord
from lattermath.weather.days import Reading
from lattermath.weather.fitted_wave import Days
from lattermath.weather.forecast_splice import HORIZON_DAYS, Spliced, splice
from lattermath.weather.traces import Method, Traces, past_year_traces
from lattermath.weather.usual_course import (
    MonthNormal,
    Run,
    from_few_days,
    from_normals,
    from_short_record,
)

__all__ = ["Futures", "MonthNormal", "futures", "season_weather"]

Values = NDArray[np.float64]

_WEEK_DAYS = 7  # judgement: with fewer of them lately, a forecast's are taken too
_WEEK_WITHIN = 14  # judgement: where all readings are older, nothing is known of this season
_RESTS_ON: dict[Method, str] = {
    "past years": "past years",
    "generated": "few years of readings",
    "normals": "the usual months you typed",
    "rough": "a rough reckoning",
}
_FRESH_DAYS = 3  # judgement: readings that end longer ago are worth a word


@dataclass(frozen=True, slots=True)
class Futures:
    """Runs of weather from `first` (the as-of day, day 0) on; arrays (n_futures, n_days).

    Temperatures in C, rain and et0 in mm, solar in MJ/m2. `usual` is the usual minimum, maximum and
    rain by place in a leap year, shape (3, 366), for days of this season that nobody measured.
    """

    first: date
    t_min: Values
    t_max: Values
    rain: Values
    solar: Values | None
    et0: Values | None
    years: tuple[int | None, ...]  # the past year each future came from
    method: Method
    says: str
    usual: Values
    forecast_days: int = 0
    own_days: frozenset[int] = frozenset()  # of these the grower typed the forecast; 0 today
    stale: str = ""  # what is worth a word of an old forecast

    def told_by(self, n: int) -> str:
        """On what the n-th day rests, in words."""
        if n in self.own_days:
            return OWN_FORECAST
        return "a forecast" if 0 <= n < self.forecast_days else _RESTS_ON[self.method]

    @property
    def n_futures(self) -> int:
        """Number of futures."""
        return int(self.t_min.shape[0])

    @property
    def last(self) -> date:
        """The last day."""
        return self.first + timedelta(days=int(self.t_min.shape[1]) - 1)


def futures(
    record: DailyRecord,
    as_of: date,
    last: date,
    *,
    forecast: Sequence[Reading] = (),
    usual_first_frost: str | None = None,
    latitude: float,
    rng: np.random.Generator,
    normals: Mapping[int, MonthNormal] | None = None,
) -> Futures:
    """Runs of weather from `as_of` to `last`, from nothing dated later than `as_of`.

    Fifteen past years and more: each year's own remainder. Three to fourteen: the same, also moved
    by whole weeks. Fewer: about monthly normals, a short record's own course, or, roughly, this
    week's highs and lows. The forecast, made by `as_of`, is laid over the first days, and what was
    measured on `as_of` itself stands in every future.
    Raises WeatherFileError when nothing at all is known; ValueError when `last` is before `as_of`.
    """
    n_days = (last - as_of).days + 1
    if n_days < 1:
        raise ValueError("the last day lies before today")
    known = record.until(as_of)
    made = [r for r in forecast if r.issued is None or r.issued <= as_of]
    traces = past_year_traces(known, as_of, n_days)
    if traces is None:
        traces = _few_years(known, as_of, n_days, made, usual_first_frost, latitude, rng, normals)
    spliced = splice(traces, made, rng)
    laid = _with_today(spliced.traces, known)
    says = f"{laid.says}, {_forecast_words(spliced)}" if spliced.days else laid.says
    for caveat in (spliced.caveat, _old_readings(known, as_of)):
        says += f"; {caveat}" if caveat else ""
    return Futures(
        as_of,
        laid.t_min,
        laid.t_max,
        laid.rain,
        laid.solar,
        laid.et0,
        laid.years,
        laid.method,
        says,
        laid.usual,
        spliced.days,
        spliced.own,
        spliced.caveat,
    )


def _forecast_words(spliced: Spliced) -> str:
    """How much of the futures is forecast, and whose."""
    if not spliced.own:
        return f"after {counted(spliced.days, 'days')} of forecast"
    count = counted(spliced.days, "days")
    if len(spliced.own) >= spliced.days - 1:  # today itself is measured
        return f"after {count} of your own forecast"
    return f"after {count} of forecast, {len(spliced.own)} of them your own"


def season_weather(
    record: DailyRecord, runs: Futures, start: date
) -> tuple[Values, Values, Values]:
    """Minimum, maximum [C] and rain [mm] from `start` on, each (n_futures, n_past + n_days).

    The past, from `start` to the day before the futures begin, is the same in every row: as
    measured, gaps filled; days before or after the record are the usual weather of their date.
    """
    known = record.until(runs.first - timedelta(days=1))
    n_past = max((runs.first - start).days, 0)
    place = year_days(start, n_past)
    at = np.arange(n_past) + known.at(start)
    there = (at >= 0) & (at < known.n_days)
    out = []
    for usual, seen, coming in zip(
        runs.usual,
        (known.t_min, known.t_max, known.rain),
        (runs.t_min, runs.t_max, runs.rain),
        strict=True,
    ):
        past = usual[place]
        past[there] = seen[at[there]]
        repeated = np.broadcast_to(past, (runs.n_futures, n_past))
        skipped = max((start - runs.first).days, 0)
        out.append(np.concatenate([repeated, coming[:, skipped:]], axis=1))
    return out[0], out[1], out[2]


def _few_years(
    known: DailyRecord,
    as_of: date,
    n_days: int,
    forecast: Sequence[Reading],
    usual_first_frost: str | None,
    latitude: float,
    rng: np.random.Generator,
    normals: Mapping[int, MonthNormal] | None,
) -> Traces:
    run = Run(as_of, n_days, latitude < 0)
    if normals:
        return from_normals(normals, run, rng)
    if known.usual.seasons:
        return from_short_record(known.usual, run, rng)
    days = _few_days(known, as_of, forecast)
    if days is None:
        newest = _newest(known)
        raise WeatherFileError(
            Fault(
                "the last day known is too long ago to plan by"
                if newest
                else "nothing is known of the weather here",
                "weather",
                f"{short(newest)} {newest.year}" if newest else "",
                f"Write the highs and lows of the days up to {short(as_of)} {as_of.year} under "
                "[[week]] in plot.toml, or take in a weather file.",
            )
        )
    return from_few_days(days, usual_first_frost, latitude, run, rng)


def _few_days(known: DailyRecord, as_of: date, forecast: Sequence[Reading]) -> Days | None:
    """The extremes measured within a year; where too few of them are new, with the forecast's.

    None where nothing is new and nothing is foretold.
    """
    measured = _measured(known)
    lately = int((measured > known.at(as_of) - _WEEK_WITHIN).sum())
    there = measured[measured > known.at(as_of) - YEAR_DAYS]
    days = {known.first + timedelta(days=int(n)) for n in there}
    coming = [r for r in forecast if 0 <= (r.day - as_of).days < HORIZON_DAYS and r.day not in days]
    told = [(r.day, r.t_min, r.t_max) for r in coming]
    told = [row for row in told if None not in row][: max(_WEEK_DAYS - lately, 0)]
    if not lately and not told:
        return None
    rows = [(known.first + timedelta(days=int(n)), known.t_min[n], known.t_max[n]) for n in there]
    first = min(row[0] for row in rows + told)
    every = [(row[0] - first).days for row in rows + told]
    return Days(
        year_days(first, max(every) + 1)[every],
        np.array(every),
        np.array([float(row[1]) for row in rows + told]),
        np.array([float(row[2]) for row in rows + told]),
        len(told),
    )


def _measured(known: DailyRecord) -> NDArray[np.intp]:
    """Places of the days on which both extremes were measured."""
    return np.flatnonzero(~known.filled_min & ~known.filled_max)


def _newest(known: DailyRecord) -> date | None:
    """The last day on which both extremes were measured."""
    measured = _measured(known)
    return known.first + timedelta(days=int(measured[-1])) if measured.size else None


def _with_today(traces: Traces, known: DailyRecord) -> Traces:
    """What was measured today stands in every future."""
    n = known.at(traces.first)
    if not 0 <= n < known.n_days:
        return traces
    low, high, rain = traces.t_min.copy(), traces.t_max.copy(), traces.rain.copy()
    for run, values, filled in (
        (low, known.t_min, known.filled_min),
        (high, known.t_max, known.filled_max),
        (rain, known.rain, known.filled_rain),
    ):
        if not filled[n]:
            run[:, 0] = values[n]
    high[:, 0] = np.maximum(high[:, 0], low[:, 0])
    return replace(traces, t_min=low, t_max=high, rain=rain)


def _old_readings(known: DailyRecord, as_of: date) -> str:
    newest = _newest(known)
    if newest is None:
        return "no readings of this place yet"
    if (as_of - newest).days <= _FRESH_DAYS:
        return ""
    stands = "the forecast made then" if known.seen.forecast[-1:].any() else "the usual weather"
    return f"no readings since {newest:%d %b %Y}: {stands} stands for the days since"
