"""Runs of weather from today on, before any forecast is laid over them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.weather.calendar_days import same_day, year_days
from lattermath.weather.climatology import Usual
from lattermath.weather.daily_record import DailyRecord

Values = NDArray[np.float64]
Method = Literal["past years", "generated", "normals", "rough"]

ENOUGH_YEARS = 15  # place.md 11.2b: from here on every past year's own remainder
FEWEST_YEARS = 3  # judgement: fewer say nothing of the difference between years
_WARMING_YEARS = 10
_WARMING_NEEDS = 20  # judgement: years before a warming can be told from chance
_SHIFT_DAYS = 7  # judgement
_POOL = 30  # judgement: futures wanted of a short record


@dataclass(frozen=True, slots=True)
class Traces:
    """Runs of days from `first` on, each (n_futures, n_days), and where they came from.

    `usual` holds the usual minimum, maximum and rain by place in a leap year, shape (3, 366);
    `wet_amount_mm` the mean rain of a wet day, NaN when it is not known.
    """

    first: date
    t_min: Values
    t_max: Values
    rain: Values
    years: tuple[int | None, ...]
    method: Method
    says: str
    usual: Values
    wet_amount_mm: float
    solar: Values | None = None
    et0: Values | None = None


def past_year_traces(record: DailyRecord, as_of: date, n_days: int) -> Traces | None:
    """Each past year's real remainder of the season; None when there are too few years.

    From fifteen years on each year gives one trace. From three to fourteen each year is also moved
    by whole weeks, its days keeping their departures from the usual weather of their own date.
    """
    last = as_of + timedelta(days=n_days - 1)
    years = record.years_for(as_of, last)
    if len(years) < FEWEST_YEARS:
        return None
    shifts = [0] if len(years) >= ENOUGH_YEARS else _shifts(len(years))
    starts, sources, moved = _starts(record, as_of, n_days, years, shifts)
    warming = _warming(record, years)
    place = year_days(as_of, n_days)
    low = _cut(record.t_min, starts, n_days) + warming
    high = _cut(record.t_max, starts, n_days) + warming
    if len(shifts) > 1:
        low += _season_step(record, record.usual.t_min, place, moved)
        high += _season_step(record, record.usual.t_max, place, moved)
    return Traces(
        as_of,
        low,
        high,
        _cut(record.rain, starts, n_days),
        tuple(sources),
        "past years" if len(shifts) == 1 else "generated",
        _words(years, shifts, len(sources), warming),
        usual_table(record.usual) + np.array([[warming], [warming], [0.0]]),
        record.usual.wet_amount_mm,
        _extra(record.solar, starts, n_days),
        _extra(record.et0, starts, n_days),
    )


def apart(low: Values, high: Values) -> tuple[Values, Values]:
    """The extremes, moved from their middle to half a degree apart where they lie closer."""
    close = high < low + 0.5
    middle = (low + high) / 2
    return np.where(close, middle - 0.25, low), np.where(close, middle + 0.25, high)


def usual_table(usual: Usual) -> Values:
    """Usual minimum, maximum and rain by place in a leap year, shape (3, 366)."""
    return np.stack([usual.t_min, usual.t_max, usual.rain])


def _shifts(n_years: int) -> list[int]:
    """Shifts in days, none first, as many as are needed for a pool of about thirty."""
    pairs = max(1, -(-(_POOL - n_years) // (2 * n_years)))
    weeks = [0, *(week for n in range(1, min(pairs, 4) + 1) for week in (-n, n))]
    return [week * _SHIFT_DAYS for week in weeks]


def _starts(
    record: DailyRecord, as_of: date, n_days: int, years: Sequence[int], shifts: Sequence[int]
) -> tuple[NDArray[np.int64], list[int], NDArray[np.int64]]:
    """Places where the traces begin, their years, and by how many days each was moved."""
    found = [
        (record.at(same_day(as_of, year)) + shift, year, shift)
        for shift in shifts
        for year in years
        if 0 <= record.at(same_day(as_of, year)) + shift <= record.at(as_of) - n_days
    ]
    starts = np.array([start for start, _, _ in found], dtype=np.int64)
    return starts, [year for _, year, _ in found], np.array([s for _, _, s in found], np.int64)


def _cut(values: Values, starts: NDArray[np.int64], n_days: int) -> Values:
    cut: Values = values[starts[:, None] + np.arange(n_days)]
    return cut


def _season_step(
    record: DailyRecord, usual: Values, place: NDArray[np.int64], moved: NDArray[np.int64]
) -> Values:
    """What to add to days moved from another time of year, shape (n_futures, n_days). [K]"""
    if not record.usual.seasons:
        return np.zeros((moved.size, place.size))
    source = (place + moved[:, None]) % usual.size
    step: Values = usual[place] - usual[source]
    return step


def _extra(values: Values | None, starts: NDArray[np.int64], n_days: int) -> Values | None:
    """Sunshine or evapotranspiration of the traces; a hole takes the mean of the other years."""
    if values is None:
        return None
    cut = _cut(values, starts, n_days)
    holes = np.isnan(cut)
    if (holes.any(axis=0).all() and holes.mean() > 0.2) or holes.all(axis=0).any():
        return None
    filling = np.nanmean(cut, axis=0)
    return np.where(holes, filling, cut)


def _warming(record: DailyRecord, years: Sequence[int]) -> float:
    """How much warmer the last ten years were than the years used, the same for every trace. [K]

    Means of departures from the usual weather over all seasons; 0 for a record under twenty years.
    """
    if len(years) < _WARMING_NEEDS or not record.usual.seasons:
        return 0.0
    place = year_days(record.first, record.n_days)
    departure = (
        record.t_min + record.t_max - record.usual.t_min[place] - record.usual.t_max[place]
    ) / 2
    recent = departure[-round(_WARMING_YEARS * 365.25) :]
    start, end = record.at(date(years[0], 1, 1)), record.at(date(years[-1], 12, 31)) + 1
    return round(float(recent.mean() - departure[max(start, 0) : end].mean()), 2)


def _words(years: Sequence[int], shifts: Sequence[int], count: int, warming: float) -> str:
    words = f"{len(years)} past years, {years[0]} to {years[-1]}"
    if len(shifts) > 1:
        days = counted(max(shifts), "days")
        words += f", each also moved by up to {days}: {count} futures of few years"
    if abs(warming) >= 0.05:
        direction = "raised" if warming > 0 else "lowered"
        by = measure(round(abs(warming), 1), "C apart")
        words += f", {direction} by {by} to the mean of the last ten years"
    return words
