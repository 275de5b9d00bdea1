"""Hours in which leaves are wet, from humidity, rain and overhead watering."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

WET_FROM_PERCENT = 90.0  # best of three plain rules at four sites (Sentelhas et al., abstract read)
WET_FROM_MM = 0.2  # rain of an hour that wets leaves; common practice
HOURS_A_DAY = 24


@dataclass(frozen=True, slots=True)
class WetPeriod:
    """One unbroken run of hours known to be wet.

    begin_h  : its first hour, counted from the first hour given. [h]
    hours    : hours known to be wet. [h]
    most_h   : its length if the unknown hours next to it were wet as well. [h]
    from_before, goes_on : it stands at the first, at the last hour given, and may be longer.
    """

    begin_h: int
    hours: int
    most_h: int
    from_before: bool
    goes_on: bool


@dataclass(frozen=True, slots=True, eq=False)
class WetDays:
    """Wetness of each day. Shapes (n_days,).

    least_h, most_h : wet hours if every unknown hour was dry, was wet. [h]
    wet_mean_c      : mean temperature of the hours known to be wet; NaN without any. [C]
    """

    least_h: FloatArray
    most_h: FloatArray
    wet_mean_c: FloatArray


def leaf_wetness(
    rh_percent: ArrayLike,
    rain_mm: ArrayLike | None = None,
    watered_mm: ArrayLike | None = None,
    threshold_percent: float = WET_FROM_PERCENT,
) -> FloatArray:
    """Whether leaves are wet, hour by hour: 1 wet, 0 dry, NaN unknown. Shape as given

    rh_percent        : relative humidity of each hour, NaN unknown. [%]
    rain_mm           : rain of each hour, NaN unknown; None where rain is not asked about. [mm]
    watered_mm        : overhead watering of each hour, likewise. [mm]
    threshold_percent : humidity from which leaves count as wet. [%]

    An hour is wet when any of them says so and dry when all say so. What is missing is unknown:
    an hour without a humidity is wet after rain, and else not known.

    Source: Sentelhas et al., congress abstract read (threshold); rain part common practice.
    Holds for: leaves outdoors; right in 0.87 to 0.92 of hours at four sites, too dry at two of
    them and too wet at one.
    """
    states = [_from(rh_percent, threshold_percent)]
    states += [_from(water, WET_FROM_MM) for water in (rain_mm, watered_mm) if water is not None]
    if len({state.shape for state in states}) > 1:
        raise ValueError("humidity, rain and watering must have as many hours")
    told = np.stack(states)
    unknown = np.where(np.isnan(told).any(axis=0), np.nan, 0.0)
    return np.where((told == 1.0).any(axis=0), 1.0, unknown)


def _from(measured: ArrayLike, least: float) -> FloatArray:
    """1 from `least` on, 0 below, NaN unknown."""
    value = np.asarray(measured, dtype=np.float64)
    return np.where(np.isnan(value), np.nan, (value >= least).astype(np.float64))


def wet_hour_bounds(wet: ArrayLike) -> tuple[int, int]:
    """Fewest and most wet hours of a series: unknown hours taken as dry, as wet. [h]"""
    state = np.asarray(wet, dtype=np.float64)
    least = int((state == 1.0).sum())
    return least, least + int(np.isnan(state).sum())


def wet_periods(wet: ArrayLike) -> list[WetPeriod]:
    """Unbroken runs of wet hours, in order; midnight does not part them.

    wet : hours in a row, shape (n_hours,), as `leaf_wetness` gives them.
    """
    state = np.asarray(wet, dtype=np.float64)
    return [
        WetPeriod(
            first,
            end - first,
            most_h=_reach(state, end, 1) - _reach(state, first - 1, -1) - 1,
            from_before=_reach(state, first - 1, -1) < 0,
            goes_on=_reach(state, end, 1) == len(state),
        )
        for first, end in _runs(state == 1.0)
    ]


def _runs(true: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First index and end of every run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], true, [False]]).astype(np.int8)))
    return [(int(first), int(end)) for first, end in zip(edges[::2], edges[1::2], strict=True)]


def _reach(state: FloatArray, at: int, step: int) -> int:
    """The first hour from `at` on, in that direction, that is known to be dry."""
    while 0 <= at < len(state) and state[at] != 0.0:
        at += step
    return at


def wet_days(wet: ArrayLike, temperature_c: ArrayLike) -> WetDays:
    """Wet hours of each day and how warm they were.

    wet, temperature_c : hours in a row from the first hour of a day on, shape (n_days * 24,). [C]

    A day may begin at any hour: cut the series there. A temperature missing in a wet hour makes
    that day's mean unknown.
    """
    state = np.asarray(wet, dtype=np.float64)
    warmth = np.asarray(temperature_c, dtype=np.float64)
    if state.shape != warmth.shape or state.ndim != 1 or len(state) % HOURS_A_DAY:
        raise ValueError("wetness and temperature must have as many hours, 24 to each day")
    state, warmth = state.reshape(-1, HOURS_A_DAY), warmth.reshape(-1, HOURS_A_DAY)
    known = state == 1.0
    least = known.sum(axis=1).astype(np.float64)
    total = np.where(known, warmth, 0.0).sum(axis=1)
    mean = np.where(least > 0, total / np.maximum(least, 1.0), np.nan)
    return WetDays(least, least + np.isnan(state).sum(axis=1), mean)
