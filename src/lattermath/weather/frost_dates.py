"""First frosts of autumn from the daily record, as of a day."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from lattermath.science.frost_odds import first_frosts, season_day
from lattermath.weather.calendar_days import day_list
from lattermath.weather.daily_record import DailyRecord

SEASON_DAYS = 153  # 1 August to 31 December; in the south 1 February to 3 July


def frost_dates(
    record: DailyRecord, as_of: date, threshold: float = 0.0, *, southern: bool = False
) -> dict[int, date | None]:
    """Date of the first minimum at or below `threshold` [C] by year; None in a year without one.

    Only measured minima count, only seasons that ended by `as_of`, and only years with at least
    140 of the 153 days measured (common practice, place.md 10). Counted from 1 August, or from
    1 February in the south. 29 February counts as 28 February.
    """
    known = record.until(as_of)
    measured = np.where(known.filled_min, np.nan, known.t_min)
    start_month = 2 if southern else 8
    years = [
        year
        for year in range(known.first.year, as_of.year + 1)
        if date(year, start_month, 1) + timedelta(days=SEASON_DAYS) <= as_of + timedelta(days=1)
    ]
    rows = np.full((len(years), SEASON_DAYS), np.nan)
    for row, year in zip(rows, years, strict=True):
        for day in day_list(date(year, start_month, 1), SEASON_DAYS):
            at, place = known.at(day), season_day(day.month, day.day, southern)
            if 0 <= at < known.n_days and place < SEASON_DAYS:
                row[place] = np.fmin(row[place], measured[at])
    found: dict[int, date | None] = {}
    for year, first in zip(years, first_frosts(rows, threshold), strict=True):
        if not np.isnan(first):
            found[year] = None if np.isinf(first) else _date(year, int(first), southern)
    return found


def _date(year: int, place: int, southern: bool) -> date:
    """The date of a place in the season."""
    start = date(year, 2 if southern else 8, 1)
    leap = date(year, 12, 31).timetuple().tm_yday == 366
    after_february = southern and leap and place > 27
    return start + timedelta(days=place + after_february)
