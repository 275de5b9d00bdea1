"""Wet hours of a day where only its extremes and its rain are known: a range, never a number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.hourly_temperature import hourly_temperature
from lattermath.science.humidity import dew_point_from_minimum, hourly_humidity
from lattermath.science.leaf_wetness import WET_FROM_MM, WET_FROM_PERCENT

FloatArray = NDArray[np.float64]

# Shift of the dew point on the dry side, in the middle and on the wet side: 10th, 50th and 90th
# percentile. Derived: set by us on one airport's summer (Newark 2013, hours read), tried on others.
SHIFT_C = (-3.0, -1.0, 1.5)
# Hours that rain wets leaves, drying included: for any rain, and for each mm. Same origin.
RAIN_H = ((1.0, 0.0), (2.0, 0.1), (6.0, 0.3))
MOST_RAIN_H = 20.0
NOON = 12


@dataclass(frozen=True, slots=True, eq=False)
class WetNights:
    """Wet hours from noon to noon, credited to the day on which they end; (..., n_days) each.

    humid_h    : hours at 90 % humidity and above. [h]
    wet_h      : hours with wet leaves: humid, rained on, or watered from above. [h]
    wet_mean_c : mean temperature of them. [C]
    """

    humid_h: FloatArray
    wet_h: FloatArray
    wet_mean_c: FloatArray


def wetness_from_extremes(
    t_min: ArrayLike,
    t_max: ArrayLike,
    rain_mm: ArrayLike,
    hours_up: ArrayLike,
    lean: float = 0.0,
    watered: ArrayLike | None = None,
) -> WetNights:
    """Wet hours of days of which only extremes and rain are known.

    t_min   : days on the last axis, (..., n_days). [C]
    t_max   : the same. [C]
    rain_mm : the same. [mm]
    hours_up              : length of each day, (n_days,). [h]
    lean                  : how wet the place is for its weather: -1 for the dry side of what may
        be (one in ten), 0 for the middle, 1 for the wet side. Between them by straight lines.
    watered : share of each hour with leaves wet by watering, (n_days, 24), noon at the sun's
        highest; None: none given over the leaves. [0 to 1]

    The dew point is taken from the night's minimum and held all day, `lean` moves it; hours follow
    a sine and a cooling night. The first day has no evening before it and is reckoned too dry.

    Source: derived (FAO-56 eq. 48 for the dew point, threshold of `leaf_wetness`).
    Holds for: temperate summers away from drip and shade; one night may be several hours off, so
    the two sides are to be asked as well as the middle.
    """
    low, high, rain = np.broadcast_arrays(
        np.asarray(t_min, float), np.asarray(t_max, float), np.asarray(rain_mm, float)
    )
    half = np.asarray(hours_up, dtype=np.float64) / 2
    heat = hourly_temperature(low, np.maximum(high, low), 12.0 - half, 12.0 + half)
    shift = float(np.interp(lean, (-1, 0, 1), SHIFT_C))
    humid = hourly_humidity(heat, dew_point_from_minimum(low, rain) + shift) >= WET_FROM_PERCENT
    humid_h = _nightly(humid.astype(np.float64))
    wetted = humid.astype(np.float64)
    if watered is not None:  # what is humid and watered is wet once
        wetted = np.maximum(wetted, np.asarray(watered, dtype=np.float64))
    told_h, told_heat = _nightly(wetted), _nightly(wetted * heat)
    wet_h = np.maximum(np.minimum(told_h + _rain_hours(rain, lean), 24.0), told_h)
    total = told_heat + (wet_h - told_h) * (low + high) / 2
    mean = np.where(wet_h > 0, total / np.maximum(wet_h, 1e-9), (low + high) / 2)
    return WetNights(humid_h, wet_h, mean)


def _rain_hours(rain: FloatArray, lean: float) -> FloatArray:
    """Hours that the rain of a day wets leaves."""
    some, each = (float(np.interp(lean, (-1, 0, 1), part)) for part in zip(*RAIN_H, strict=True))
    hours = np.minimum(some + each * rain, MOST_RAIN_H)
    return np.where(rain >= WET_FROM_MM, hours, 0.0)


def _nightly(hours: FloatArray) -> FloatArray:
    """Sums from noon to noon of hours (..., n_days, 24), by the day on which they end."""
    morning = hours[..., :NOON].sum(-1)
    evening = hours[..., NOON:].sum(-1)
    before = np.concatenate([np.zeros_like(evening[..., :1]), evening[..., :-1]], axis=-1)
    return np.asarray(morning + before)
