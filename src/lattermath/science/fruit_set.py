"""Flowers lost to hot days, hot nights and cold nights, and the gap that follows weeks later."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Days = NDArray[np.float64]  # (n_futures, n_days) or (n_days,)

# Judgement: degrees above each limit at which set has gone altogether. Night is the steeper,
# after snap bean (konsens1991: nights of 27 C cut pods strongly, days of 32 C much less).
DAY_SPAN_C = 8.0
NIGHT_SPAN_C = 7.0
MEAN_SPAN_C = 4.0
COLD_SPAN_C = 6.0
FLOWERING_SPREAD_DAYS = 7  # judgement: one picking comes from about a week of flowers


@dataclass(frozen=True, slots=True)
class SetLimits:
    """Temperatures beyond which set begins to fail. None: no figure, so no limit is applied."""

    day_max_c: float
    night_min_c: float | None = None
    mean_c: float | None = None
    cold_night_c: float | None = None


def fruit_set(t_min: Days, t_max: Days, limits: SetLimits) -> Days:
    """Share of the normal fruit set of flowers opening on each day, 0 to 1.

    t_min, t_max : daily extremes, shape (n_futures, n_days). [C]
    limits       : where day heat, night heat, the daily mean and night cold begin to tell. [C]

    Each limit gives a straight fall from 1; day and night multiply, and the mean may hold the
    result lower still. NaN in gives NaN out.
    Holds for: watered plants with pollinators about.
    Source: limits from the crop table; shape and widths are judgement.
    """
    share = _falls(t_max, limits.day_max_c, DAY_SPAN_C)
    if limits.night_min_c is not None:
        share = share * _falls(t_min, limits.night_min_c, NIGHT_SPAN_C)
    if limits.cold_night_c is not None:
        share = share * _falls(-t_min, -limits.cold_night_c, COLD_SPAN_C)
    if limits.mean_c is not None:
        share = np.minimum(share, _falls((t_min + t_max) / 2, limits.mean_c, MEAN_SPAN_C))
    return share


def set_when_picked(set_share: Days, heat_sum: Days, fruit_heat: float) -> Days:
    """Share of normal set among the fruit that ripens on each day: the set, weeks late.

    set_share  : share of normal set by day of flowering, (n_futures, n_days).
    heat_sum   : degree-days gathered by the end of each day, (n_futures, n_days). [C d]
    fruit_heat : heat from open flower to market size. [C d]

    The flower of a fruit picked today opened `fruit_heat` ago; a picking mixes about a week of
    flowers. Fruit whose flower opened before the first day is given that day's set.
    """
    if set_share.shape != heat_sum.shape:
        raise ValueError("set and heat must cover the same futures and days")
    weekly = _running_mean(set_share, FLOWERING_SPREAD_DAYS)
    columns = np.arange(set_share.shape[-1], dtype=float)
    lagged = np.empty_like(weekly)
    for future, heat in enumerate(heat_sum):
        flowered = np.interp(heat - fruit_heat, heat, columns)
        lagged[future] = np.interp(flowered, columns, weekly[future])
    return lagged


def _falls(value: Days, limit: float, span: float) -> Days:
    """1 up to the limit, straight down to 0 at limit + span."""
    return np.clip(1.0 - (value - limit) / span, 0.0, 1.0)


def _running_mean(values: Days, width: int) -> Days:
    """Centred mean over `width` days; the ends lean on their own edge value."""
    half = width // 2
    padded = np.pad(values, ((0, 0), (half + 1, half)), mode="edge")
    total = np.cumsum(padded, axis=1)
    return np.asarray((total[:, width:] - total[:, :-width]) / width)
