"""Severity values of a day or a wet period, and when they call for a treatment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
BlightAdvice = Literal["none", "warn", "7-day", "5-day"]

# Wet hours from which a day scores 1, 2, 3 and 4, by whole degrees while wet. Madden, Pennypacker
# and MacNab 1978 as reworked in 1992: recalled, agreed cell by cell with a public research script.
TOM_CAST_FROM_C = (13, 18, 21, 26)
TOM_CAST_TO_C = 29
TOM_CAST_HOURS = ((7, 16, 21, np.inf), (4, 9, 16, 23), (3, 6, 13, 21), (4, 9, 16, 23))

# Hours of one humid period, by its mean temperature: half-open bands, the last one closed. Wallin
# 1962 as printed in the open textbook R for Plant Disease Epidemiology (read).
WALLIN_FROM_C = (7.2, 11.7, 15.1)
WALLIN_TO_C = 26.6
WALLIN_HOURS = ((16, 19, 22, 25), (13, 16, 19, 22), (10, 13, 16, 19))

FIRST_SPRAY_AT = 35.0  # severity values from transplanting; Rutgers 2015 and 2018, read
NEXT_SPRAY_AT = 20.0  # since the last spray; 15 to 20 read, 20 of one national service

# Blitecast, second-hand: by severity of the last 7 days, below 3, 3, 4, 5, 6, above 6.
BLIGHT_FEW_RAIN_DAYS: tuple[BlightAdvice, ...] = (
    "none",
    "none",
    "warn",
    "7-day",
    "7-day",
    "5-day",
)
BLIGHT_MANY_RAIN_DAYS: tuple[BlightAdvice, ...] = (
    "none",
    "warn",
    "7-day",
    "5-day",
    "5-day",
    "5-day",
)
MANY_RAIN_DAYS = 5

# Rain-favourable day: Hyre 1954, read as quoted in public model code.
HYRE_DAYS, HYRE_MEAN_BELOW_C = 5, 25.5
HYRE_RAIN_DAYS, HYRE_RAIN_MM, HYRE_MIN_FROM_C = 10, 30.0, 7.2


def tom_cast(mean_c: ArrayLike, wet_hours: ArrayLike) -> FloatArray:
    """Disease severity value of a day, 0 to 4; any shape.

    mean_c    : mean temperature of the wet hours, not of the day. [C]
    wet_hours : wet hours of the day, whole hours counted. [h]

    The temperature is rounded half up to a whole degree (judgement: the table leaves gaps). Below
    13 and above 29 C the value is 0. No wet hour gives 0 at any temperature; NaN else gives NaN.

    Source: see the table above.
    Holds for: early blight, Septoria leaf spot and anthracnose of tomato.
    """
    mean, hours = np.broadcast_arrays(np.asarray(mean_c, float), np.asarray(wet_hours, float))
    if np.any(hours > 24) or np.any(hours < 0):
        raise ValueError("a day has 0 to 24 wet hours")
    whole = np.floor(mean + 0.5)
    value = _score(whole, hours, TOM_CAST_FROM_C, TOM_CAST_HOURS)
    return np.where((whole > TOM_CAST_TO_C) & ~np.isnan(hours), 0.0, value)


def tom_cast_bounds(wet: ArrayLike, temperature_c: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Least and greatest disease severity value of each day, 0 to 4; (n_days,) each.

    wet           : hours in a row, 1 wet, 0 dry, NaN unknown, shape (n_days * 24,).
    temperature_c : of the same hours. [C]

    Whatever the unknown hours were, the value lies between the two; without unknown hours both are
    the value. The bounds may be wider than need be, never narrower. A wet or unknown hour without
    a temperature gives NaN.
    """
    state = np.asarray(wet, dtype=np.float64).reshape(-1, 24)
    heat = np.asarray(temperature_c, dtype=np.float64).reshape(-1, 24)
    found = [_bounds(h[s == 1.0], h[np.isnan(s)]) for s, h in zip(state, heat, strict=True)]
    return np.array([low for low, _ in found]), np.array([high for _, high in found])


def _bounds(wet: FloatArray, unknown: FloatArray) -> tuple[float, float]:
    """Bounds of one day, from the temperatures of its wet and its unknown hours."""
    if np.isnan(wet).any() or np.isnan(unknown).any():
        return np.nan, np.nan
    cold_first = np.sort(unknown)
    values = [0.0] if wet.size == 0 else []
    for more in range(0 if wet.size else 1, unknown.size + 1):
        hours = wet.size + more
        coldest = (wet.sum() + cold_first[:more].sum()) / hours
        warmest = (wet.sum() + cold_first[unknown.size - more :].sum()) / hours
        means = np.arange(np.floor(coldest + 0.5), np.floor(warmest + 0.5) + 1)
        values += tom_cast(means, hours).tolist()
    return min(values), max(values)


def wallin(mean_c: ArrayLike, wet_hours: ArrayLike) -> FloatArray:
    """Severity value of one unbroken humid period, 0 to 4; any shape.

    mean_c    : mean temperature of the period. [C]
    wet_hours : its length at 90 % humidity and above, across midnight, whole hours counted. [h]

    Credited to the day on which the period ends (recalled). Below 7.2 and above 26.6 C the value
    is 0. No hour gives 0; NaN else gives NaN.

    Source: see the table above; its last column, printed ">", is read as "and more".
    Holds for: late blight of potato and tomato.
    """
    mean, hours = np.broadcast_arrays(np.asarray(mean_c, float), np.asarray(wet_hours, float))
    if np.any(hours < 0):
        raise ValueError("a period cannot have fewer than 0 hours")
    value = _score(mean, hours, WALLIN_FROM_C, WALLIN_HOURS)
    return np.where((mean > WALLIN_TO_C) & ~np.isnan(hours), 0.0, value)


def _score(
    mean: FloatArray,
    hours: FloatArray,
    from_c: Sequence[float],
    steps: Sequence[Sequence[float]],
) -> FloatArray:
    """How many steps of its temperature band the hours have reached."""
    value = np.zeros(mean.shape)
    for least, band in zip(from_c, steps, strict=True):
        reached = (np.floor(hours)[..., None] >= np.asarray(band)).sum(axis=-1)
        value = np.where(mean >= least, reached, value)
    unknown = np.isnan(hours) | (np.isnan(mean) & (hours != 0))
    return np.where(unknown, np.nan, value)


def sprays_due(
    values: ArrayLike, first_at: float = FIRST_SPRAY_AT, next_at: float = NEXT_SPRAY_AT
) -> list[int]:
    """Days, counted from 0, on which accumulated severity calls for a spray.

    values   : severity value of each day from transplanting on, shape (n_days,).
    first_at : sum that calls for the first spray. next_at : for each later one; the sum begins
        anew at every spray.

    ValueError on a day whose value is unknown: the sum is then unknown as well.
    Source: Rutgers advisories and a description after Ohio State Extension, read.
    """
    daily = np.asarray(values, dtype=np.float64)
    if np.isnan(daily).any():
        missing = int(np.flatnonzero(np.isnan(daily))[0])
        raise ValueError(f"the severity value of day {missing} is unknown, and so is every sum")
    due: list[int] = []
    total, wanted = 0.0, first_at
    for day, value in enumerate(daily):
        total += float(value)
        if total >= wanted:
            due.append(day)
            total, wanted = 0.0, next_at
    return due


def blight_advice(rain_favourable_days: int, severity: float) -> BlightAdvice:
    """What the last seven days call for: nothing, a warning, a spray within 7, within 5 days.

    rain_favourable_days : of the last seven, see `rain_favourable`. [d]
    severity             : sum of Wallin values of the last seven days.

    Source: Blitecast matrix (Krause, Massie and Hyre 1975), second-hand.
    Holds for: after the first spray, which falls due at 18 severity values or 10 rain-favourable
    days.
    """
    row = BLIGHT_MANY_RAIN_DAYS if rain_favourable_days >= MANY_RAIN_DAYS else BLIGHT_FEW_RAIN_DAYS
    return row[int(np.clip(np.floor(severity) - 2, 0, len(row) - 1))]


def rain_favourable(t_min: ArrayLike, t_max: ArrayLike, rain_mm: ArrayLike) -> FloatArray:
    """Which days favour late blight by rain and warmth: 1 yes, 0 no, NaN unknown. (n_days,)

    t_min, t_max : daily extremes; their middle is the day's mean. [C]
    rain_mm      : rain of each day. [mm]

    The mean of the last 5 days is below 25.5 C, the rain of the last 10 days is 30 mm or more, and
    the night was not below 7.2 C. Days with too little behind them are unknown unless the night
    rules them out.

    Source: Hyre 1954, read as quoted in public model code.
    """
    low, high = np.asarray(t_min, dtype=np.float64), np.asarray(t_max, dtype=np.float64)
    warm = _last((low + high) / 2, HYRE_DAYS) / HYRE_DAYS
    rain = _last(np.asarray(rain_mm, dtype=np.float64), HYRE_RAIN_DAYS)
    refused = (low < HYRE_MIN_FROM_C) | (warm >= HYRE_MEAN_BELOW_C) | (rain < HYRE_RAIN_MM)
    unknown = np.isnan(low) | np.isnan(warm) | np.isnan(rain)
    return np.where(refused, 0.0, np.where(unknown, np.nan, 1.0))


def _last(daily: FloatArray, days: int) -> FloatArray:
    """Sum of the last `days` days; NaN where there are fewer or one is unknown."""
    out = np.full(daily.shape, np.nan)
    if len(daily) >= days:
        out[days - 1 :] = np.lib.stride_tricks.sliding_window_view(daily, days).sum(axis=-1)
    return out


def physiological_days(t_min: ArrayLike, t_max: ArrayLike) -> FloatArray:
    """P-days of each day, at most 10; they time the first spray against early blight of potato.

    t_min, t_max : daily extremes, any shape. [C]

    P rises as a parabola from 0 at 7 C to 10 at 21 C and falls to 0 at 30 C; a day weighs P at its
    minimum, at a third and two thirds of its range and at its maximum by 5, 8, 8 and 3 of 24.

    Source: Sands et al. 1979, recalled; curve read in public code. First spray at 300 (Rutgers,
    read).
    """
    low, high = np.asarray(t_min, dtype=np.float64), np.asarray(t_max, dtype=np.float64)
    moments = ((5, low), (8, (2 * low + high) / 3), (8, (low + 2 * high) / 3), (3, high))
    return np.asarray(sum(weight * _potato_pace(heat) for weight, heat in moments) / 24)


def _potato_pace(heat: FloatArray) -> FloatArray:
    """P-days a day at a steady temperature."""
    bend = np.where(heat <= 21, (21 - 7) ** 2, (30 - 21) ** 2)
    pace = 10 * (1 - (heat - 21) ** 2 / bend)
    return np.where((heat < 7) | (heat > 30), 0.0, pace)
