"""Vapour in the air: saturation, dew point, and what to assume where nobody measured it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MEASURABLE_RAIN_MM = 0.3  # a day with less counts as dry [mm]; judgement
DEW_LAG_A_DRY_DAY = 0.25  # dew point falls this much below the minimum each dry day [C]; judgement
DEW_LAG_AT_MOST = 3.0  # recalled from the annex of FAO-56: subtract 2 to 3 C in dry spells [C]


def saturation_vapour_pressure(temperature: ArrayLike) -> Floats:
    """Saturation vapour pressure over water by Tetens' form, FAO-56 eq. 11. [kPa]

    temperature : any shape. [C]
    Source: Allen et al. 1998, FAO-56; examples read second-hand.
    Holds for: -20 to 50 C, within 0.3 % of newer forms.
    """
    t = np.asarray(temperature, float)
    pressure: Floats = 0.6108 * np.exp(17.27 * t / (t + 237.3))
    return pressure


def saturation_slope(temperature: ArrayLike) -> Floats:
    """Slope of the saturation curve, FAO-56 eq. 13. [kPa/C]"""
    t = np.asarray(temperature, float)
    slope: Floats = 4098 * saturation_vapour_pressure(t) / (t + 237.3) ** 2
    return slope


def dew_point(vapour_pressure: ArrayLike) -> Floats:
    """Temperature at which air of this vapour pressure is saturated. [C]

    vapour_pressure : above 0, any shape; not above 0 gives NaN. [kPa]
    Source: derived, the inverse of FAO-56 eq. 11.
    """
    pressure = np.asarray(vapour_pressure, float)
    known = np.where(pressure > 0, pressure, np.nan)
    share = np.log(known / 0.6108)
    point: Floats = 237.3 * share / (17.27 - share)
    return point


def dew_point_from_minimum(t_min: ArrayLike, rain: ArrayLike) -> Floats:
    """Dew point assumed from the night's minimum, lower in a dry spell. [C]

    t_min, rain : daily minimum [C] and rain [mm], days on the last axis, shape (..., n_days).

    After rain the dew point is the minimum itself (FAO-56 eq. 48); each dry day lowers it by a
    quarter of a degree down to 3 C below, so that a long drought does not wet leaves every dawn.
    A day whose rain is unknown gives NaN from there until the next rain, for the length of the dry
    spell is then unknown too. NaN minimum gives NaN.

    Source: FAO-56 eq. 48 (second-hand); the size of the correction recalled from its annex, its
    growth with dry days is judgement. Fit it by month where humidity was measured.
    """
    low, fell = np.broadcast_arrays(np.asarray(t_min, float), np.asarray(rain, float))
    point = np.empty(low.shape)
    lag = np.zeros(low.shape[:-1])
    for day in range(low.shape[-1]):
        dry = np.minimum(lag + DEW_LAG_A_DRY_DAY, DEW_LAG_AT_MOST)
        lag = np.where(fell[..., day] >= MEASURABLE_RAIN_MM, 0.0, dry + 0.0 * fell[..., day])
        point[..., day] = low[..., day] - lag
    return point


def relative_humidity(temperature: ArrayLike, vapour_pressure: ArrayLike) -> Floats:
    """Relative humidity of air at a temperature that holds this vapour, at most 100. [%]

    Broadcasts, so that (..., n_days, 24) hours meet a (..., n_days, 1) vapour pressure held all
    day. [C, kPa]
    """
    held = np.asarray(vapour_pressure, float) / saturation_vapour_pressure(temperature)
    humidity: Floats = np.clip(100 * held, 0.0, 100.0)
    return humidity


def hourly_humidity(hourly_temperature: ArrayLike, day_dew_point: ArrayLike) -> Floats:
    """Relative humidity by the hour when the day's vapour stays constant. [%]

    hourly_temperature : shape (..., n_days, 24). [C]
    day_dew_point      : shape (..., n_days). [C]

    Source: derived. Low confidence: dew and drying then follow the temperature alone.
    """
    vapour = saturation_vapour_pressure(day_dew_point)[..., None]
    return relative_humidity(hourly_temperature, vapour)
