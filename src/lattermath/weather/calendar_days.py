"""Places of dates in the year, with leap years made level."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

YEAR_DAYS = 366


def year_days(first: date, n_days: int) -> NDArray[np.int64]:
    """Place of each day in a leap year, 0 to 365, so that 1 March is always 60; shape (n_days,)."""
    days = np.datetime64(first, "D") + np.arange(n_days)
    years = days.astype("datetime64[Y]")
    place = (days - years.astype("datetime64[D]")).astype(np.int64)
    numbers = years.astype(np.int64) + 1970
    leap = (numbers % 4 == 0) & ((numbers % 100 != 0) | (numbers % 400 == 0))
    level: NDArray[np.int64] = place + (~leap & (place >= 59))
    return level


def same_day(day: date, year: int) -> date:
    """The same day of another year; 29 February becomes 28 February."""
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 2, 28)


def next_on(month_day: str, start: date) -> date:
    """The first date on or after `start` that falls on "MM-DD". ValueError for no such day."""
    month, day = (int(part) for part in month_day.split("-"))
    leap = date(2000, month, day)
    found = same_day(leap, start.year)
    return found if found >= start else same_day(leap, start.year + 1)


def day_list(first: date, n_days: int) -> list[date]:
    """The dates themselves."""
    return [first + timedelta(days=n) for n in range(n_days)]
