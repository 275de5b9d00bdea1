"""Odds of the first autumn frost from the record of a place.

Season days are plain numbers: `season_day` counts from 1 August in the north and from 1 February in
the south, on a calendar that has no 29 February, so that years can be compared.
A year that was watched to its end without frost is inf; a year too thinly recorded is NaN.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

Floats = NDArray[np.float64]

MONTH_STARTS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
SEASON_START = {False: 212, True: 31}  # 1 August north, 1 February south, days after 1 January
ENOUGH_DAYS = 140  # of the 153 from August to December; common practice


@dataclass(frozen=True, slots=True)
class FrostFit:
    """A normal date of first frost, mixed with a share of years that have none."""

    mean_day: float
    sd_days: float  # with n - 1; NaN where fewer than two years had frost
    frost_free_share: float
    years: int


def day_of_common_year(month: int, day: int) -> int:
    """Day of the year on a calendar without 29 February, which counts as 28 February. [1..365]"""
    if not (1 <= month <= 12 and 1 <= day <= 31):
        raise ValueError("month must lie in 1..12 and day in 1..31")
    return MONTH_STARTS[month - 1] + (28 if (month, day) == (2, 29) else day)


def season_day(month: int, day: int, southern: bool = False) -> int:
    """Days since the season's first day, 1 August (1 February in the south). [0..364]"""
    return (day_of_common_year(month, day) - 1 - SEASON_START[southern]) % 365


def month_and_day(season_day_number: int, southern: bool = False) -> tuple[int, int]:
    """Month and day of the month on which a season day falls, 29 February left out."""
    number = (season_day_number + SEASON_START[southern]) % 365
    month = sum(start <= number for start in MONTH_STARTS)
    return month, number - MONTH_STARTS[month - 1] + 1


def first_frosts(
    t_min: ArrayLike, threshold: float = 0.0, enough_days: int = ENOUGH_DAYS
) -> Floats:
    """Season day of the first minimum at or below the threshold, shape (n_years,). [d]

    t_min       : minima by season day, one year a row, from the season's first day, (n_years,
                  n_days); NaN where unknown. [C]
    threshold   : 0 is a light frost; -2.2 (28 F) kills, by common practice. [C]
    enough_days : a year with fewer known days is NaN, whether or not a frost was seen, since an
                  earlier one may have been missed.

    inf where the year was watched and had none.
    """
    low = np.atleast_2d(np.asarray(t_min, float))
    frost = low <= threshold
    first = np.where(frost.any(axis=1), np.argmax(frost, axis=1).astype(float), np.inf)
    known = (~np.isnan(low)).sum(axis=1) >= enough_days
    return np.where(known, first, np.nan)


def fit_frosts(first: ArrayLike) -> FrostFit:
    """Normal date of first frost with the share of frost-free years.

    first : season day (or any day number) by year; inf none that year, NaN unknown and left out.

    ValueError where no year is known. A record of one frost has no spread (NaN), one of none has
    no mean either.

    Source: the operational freeze normals mix a share of years with a date (described by their data
    centre; Thom & Shaw 1958 recalled). Checked against a printed freeze table, 18 cells within a
    day (tests/published/test_clemson_freeze_tables.py).
    """
    days = _known(first)
    dated = days[np.isfinite(days)]
    mean = float(dated.mean()) if len(dated) else np.nan
    spread = float(dated.std(ddof=1)) if len(dated) > 1 else np.nan
    return FrostFit(mean, spread, 1 - len(dated) / len(days), len(days))


def frost_chance(fit: FrostFit, on: ArrayLike) -> Floats:
    """Chance of a first frost on or before each day. [0..1]

    Source: (1 - q) Phi((d - mean) / sd), q the share of frost-free years.
    """
    day = np.asarray(on, float)
    if fit.frost_free_share == 1:
        return np.zeros(day.shape)
    chance: Floats = (1 - fit.frost_free_share) * ndtr(_score(fit, day))
    return chance


def frost_day(fit: FrostFit, chance: ArrayLike) -> Floats:
    """Day by which a first frost has come with the given chance; inf where it never gets so likely.

    The exact inverse of `frost_chance`. ValueError for a chance outside 0..1, the ends excluded.
    """
    asked = np.asarray(chance, float)
    if np.any((asked <= 0) | (asked >= 1)):
        raise ValueError("a chance must lie between 0 and 1")
    share = asked / max(1 - fit.frost_free_share, 1e-12)
    inside = share < 1
    day: Floats = fit.mean_day + fit.sd_days * ndtri(np.where(inside, share, 0.5))
    return np.where(inside, day, np.inf)


def empirical_chance(first: ArrayLike, on: ArrayLike) -> Floats:
    """Share of the recorded years whose first frost came on or before each day. [0..1]"""
    days = _known(first)
    share: Floats = (days <= np.asarray(on, float)[..., None]).mean(axis=-1)
    return share


def empirical_day(first: ArrayLike, chance: ArrayLike) -> Floats:
    """Day by which the given share of recorded years had frost, interpolated linearly.

    inf where that share is reached only among the frost-free years.
    """
    days = np.sort(_known(first))
    place = np.asarray(chance, float) * (len(days) - 1)
    below = np.floor(place).astype(int)
    above = np.minimum(below + 1, len(days) - 1)
    part = place - below
    low, high = days[below], np.where(part > 0, days[above], days[below])
    step = np.where(np.isfinite(low) & np.isfinite(high), high, 0.0)
    reached = np.where(np.isfinite(low), low, 0.0)
    return np.where(np.isfinite(high), reached + part * (step - reached), np.inf)


def plotting_positions(first: ArrayLike) -> tuple[Floats, Floats]:
    """Sorted first frosts, frost-free years last, and their Weibull positions i / (n + 1)."""
    days = np.sort(_known(first))
    return days, np.arange(1, len(days) + 1) / (len(days) + 1)


def given_none_yet(chance_by_then: ArrayLike, chance_by_today: ArrayLike) -> Floats:
    """Chance of frost by a later day when none has come by today: 1 - S(then) / S(today). [0..1]

    NaN where frost was already certain by today, for then the record says nothing more.
    """
    then, today = np.asarray(chance_by_then, float), np.asarray(chance_by_today, float)
    left = 1 - today
    chance: Floats = 1 - (1 - np.maximum(then, today)) / np.where(left > 0, left, np.nan)
    return chance


def chance_over_years(chance_a_year: ArrayLike, years: int) -> Floats:
    """Chance that it happens at least once in so many years, 1 - (1 - P)^n. [0..1]"""
    chance: Floats = 1 - (1 - np.asarray(chance_a_year, float)) ** years
    return chance


def _known(first: ArrayLike) -> Floats:
    """Years that are known; refuses a record of none."""
    given = np.asarray(first, float).ravel()
    days: Floats = given[~np.isnan(given)]
    if not len(days):
        raise ValueError("no year of the record is known well enough")
    return days


def _score(fit: FrostFit, day: Floats) -> Floats:
    """Standard score of a day; a record without spread steps from never to always at its mean."""
    if fit.sd_days > 0:
        score: Floats = (day - fit.mean_day) / fit.sd_days
        return score
    if np.isnan(fit.sd_days):
        return np.full(day.shape, np.nan)
    return np.where(day >= fit.mean_day, np.inf, -np.inf)
