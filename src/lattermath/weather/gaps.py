"""Fill gaps of a daily record by a stated method, and keep a mask of what was filled.

Temperature: a gap of up to seven days takes the usual course of the season, shifted by the
departures on either side in between; a longer one, and a gap at an end, takes the usual course,
into which the last departure fades. Where the record is too short to know a usual course, values
run straight from one side to the other. Rain: the usual rain of the season as the same small
amount each day, so that sums of water stay right; wet days are not invented, and a mask tells.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

SHORT_GAP_DAYS = 7  # judgement: weather departures last about a week
FADING = 0.76  # departure left after one day: lag-1 of minima, Brussels 1976-2005 (place.md A7)


def fill_temperature(values: Values, usual: Values, seasons: bool) -> Values:
    """The series with every NaN filled. [C]

    usual : the usual value of each of these days, shape (n_days,); NaN when nothing is known.
    seasons : False when the record is too short to know the course of the year.
    All NaN in gives all NaN out.
    """
    known = np.flatnonzero(~np.isnan(values))
    if known.size == values.size or known.size == 0:
        return values.copy()
    at = np.arange(values.size)
    departure = values - usual
    between = np.interp(at, known, departure[known])
    if not seasons:
        return np.where(np.isnan(values), usual + between, values)
    before = np.searchsorted(known, at, side="right") - 1
    after = np.searchsorted(known, at, side="left")
    inside = (before >= 0) & (after < known.size)
    last = known[np.clip(before, 0, None)]
    gap = known[np.clip(after, None, known.size - 1)] - last - 1
    fading = np.where(before >= 0, departure[last] * FADING ** np.abs(at - last), 0.0)
    filling = np.where(inside & (gap <= SHORT_GAP_DAYS), between, fading)
    return np.where(np.isnan(values), usual + filling, values)


def fill_rain(rain: Values, usual: Values, otherwise: float) -> Values:
    """Rain with every NaN filled by the usual rain of the day, or `otherwise`. [mm]"""
    return np.where(np.isnan(rain), np.where(np.isnan(usual), otherwise, usual), rain)


def keep_order(t_min: Values, t_max: Values, filled_min: Mask, filled_max: Mask) -> None:
    """Move filled extremes, in place, so that no maximum is less than half a degree above."""
    close = t_max < t_min + 0.5
    move_max = close & filled_max
    t_max[move_max] = t_min[move_max] + 0.5
    move_min = close & filled_min & ~filled_max
    t_min[move_min] = t_max[move_min] - 0.5
