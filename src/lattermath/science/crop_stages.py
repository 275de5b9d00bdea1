"""When a crop reaches a stage: heat gathered after setting out, against the heat it needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Draws = NDArray[np.float64]  # (n_draws,)
Columns = NDArray[np.intp]  # (n_draws,) day columns
HeatSums = NDArray[np.float64]  # (n_draws, n_days + 1)

NOMINAL_CHECK_DAYS = 4.0  # common practice: the check after setting out that day counts include
CHECK_DAYS_LOW, CHECK_DAYS_HIGH = 2.0, 7.0
EARLY_SHARE = 1 - 0.5**0.5  # middle of a spread whose low end is the likeliest, see `between`


def heat_sums(daily: NDArray[np.float64]) -> HeatSums:
    """Heat gathered by the morning of each day: (n, n_days) gives (n, n_days + 1). [C d]"""
    sums = np.zeros((daily.shape[0], daily.shape[1] + 1))
    np.cumsum(daily, axis=1, out=sums[:, 1:])
    return sums


def between(low: float, high: float, uniform: Draws, early: bool = False) -> Draws:
    """Values from low to high for numbers drawn evenly from 0 to 1.

    early : the low end is the likeliest (straight fall to the high end), for requirements made
            from day counts in warmer weather than they belong to. Otherwise all are alike.
    """
    share = 1 - np.sqrt(1 - uniform) if early else uniform
    return np.asarray(low + (high - low) * share)


def likely(low: float, high: float, early: bool = False) -> float:
    """The middle of that spread: half the draws of `between` lie below it."""
    return low + (high - low) * (EARLY_SHARE if early else 0.5)


def heat_after_check(total: Draws, per_day: float, starts_ahead_days: Draws) -> Draws:
    """Heat still to gather once the check of setting out is over. [C d]

    total             : heat from setting out as the table has it, check included. [C d]
    per_day           : heat of one day of the weather in which the days were counted. [C d]
    starts_ahead_days : days by which the plant is older than usual when set out (negative:
                        younger); each stands for one day of that weather. [d]

    The table's days from setting out contain about four days in which nothing grows. They are
    taken out of the heat and put back as days, so a cold week lengthens growth and not the check.
    """
    return np.asarray(np.maximum(total - (NOMINAL_CHECK_DAYS + starts_ahead_days) * per_day, 0.0))


def day_reached(sums: HeatSums, start: Columns, needed: Draws) -> Draws:
    """Column of the morning by which the heat needed since `start` is gathered; inf if never.

    sums   : heat by the morning of each day, (n_draws, n_days + 1). [C d]
    start  : column from which heat counts, (n_draws,).
    needed : heat needed since then, (n_draws,). NaN (no such stage) gives NaN. [C d]
    """
    last = sums.shape[1] - 1
    rows = np.arange(sums.shape[0])
    gathered = sums - sums[rows, np.minimum(start, last)][:, None]
    columns = np.arange(last + 1)[None, :]
    ready = (gathered >= needed[:, None] - 1e-9) & (columns >= start[:, None])
    first = ready.argmax(axis=1).astype(float)
    reached = np.where(ready.any(axis=1), first, np.inf)
    return np.where(np.isnan(needed), np.nan, reached)


def maximum_heat_units(
    t_max: NDArray[np.float64], base_c: float, ceiling_c: float
) -> NDArray[np.float64]:
    """Heat units of each day from its maximum, turning down above a ceiling. [C d]

    Tmax - base; above the ceiling the maximum counts as ceiling - (Tmax - ceiling).
    Holds for: pickling cucumber, field sown, base 15.5 and ceiling 32 C.
    Source: perry_wehner1996 (abstract read). Kept as a second opinion on cucumber.
    """
    turned = np.where(t_max > ceiling_c, 2 * ceiling_c - t_max, t_max)
    return np.maximum(turned - base_c, 0.0)
