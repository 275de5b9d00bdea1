"""What is left of a deposit on a leaf, by light, warmth, and rain while it is wet and dry."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

FRESH_HALF_MM = 1.25  # heavy rain on a fresh deposit: 5 mm leave a fifth (mancozeb_rain, 24 h dry)
WASHING_MM = 2.54  # rain of one washing in the GLEAMS scheme (memory)
GENTLE_MM, HEAVY_MM = 2.0, 10.0  # judgement: a day's rain that falls softly, and in bursts
WARMTH_C = 22.0  # judgement: air of the trials that half-lives come from
DOUBLES_C = 10.0  # judgement: rates of loss double in ten degrees


def dried_left(rain_mm: ArrayLike, mm_halves: float | None, washed_off: float) -> FloatArray:
    """Share of a dried deposit that a day's rain leaves. [0 to 1], shaped as the rain

    mm_halves  : rain that takes half of it; twice that takes all. None: `washed_off` rules. [mm]
    washed_off : share that one good washing takes, however long it rains. [0 to 1]

    Source: trade rule, 25 mm half and 50 mm all of a rainfast protectant (excerpts read); GLEAMS
    foliar scheme for the shares, made gradual below its 2.54 mm (judgement).
    """
    rain = _known(rain_mm)
    if mm_halves is not None:
        return np.asarray(np.clip(1.0 - rain / (2.0 * mm_halves), 0.0, 1.0))
    return np.asarray(1.0 - washed_off * -np.expm1(-rain / WASHING_MM))


def fresh_left(rain_mm: ArrayLike) -> FloatArray:
    """Share of a fresh deposit that heavy rain leaves. [0 to 1], shaped as the rain

    A hyperbola: the first millimetres take most, more rain adds little. Source: mancozeb on apple
    seedlings, 5 mm took 90, 75 and 80 % after 2, 4 and 24 h of drying (abstract read).
    """
    return np.asarray(1.0 / (1.0 + _known(rain_mm) / FRESH_HALF_MM))


def first_day_left(
    rain_mm: ArrayLike, dry_hours: float, mm_halves: float | None, washed_off: float
) -> FloatArray:
    """Share left of a deposit after the day on which it was put on. [0 to 1], shaped as the rain

    dry_hours : until it is dry; rain is taken as equally likely at every hour of the day. [h]

    While it is wet, any rain takes it as heavy rain does. Once dry, a deposit of particles (one
    with `mm_halves`) is still fresh: bursts take it so too, soft rain as if it were old.
    """
    wet = min(max(dry_hours, 0.0) / 24.0, 1.0)
    old = dried_left(rain_mm, mm_halves, washed_off)
    torn = np.minimum(fresh_left(rain_mm), old)
    bursts = bursting(rain_mm) * (mm_halves is not None)
    return np.asarray(wet * torn + (1.0 - wet) * (bursts * torn + (1.0 - bursts) * old))


def bursting(rain_mm: ArrayLike) -> FloatArray:
    """How much of a day's rain is taken to come in bursts, from its sum alone. [0 to 1]

    Judgement: a day's sum is all that is known of most days; 2 mm fall softly, 10 mm as storms.
    """
    return np.asarray(np.clip((_known(rain_mm) - GENTLE_MM) / (HEAVY_MM - GENTLE_MM), 0.0, 1.0))


def warm_pace(temperature_c: ArrayLike) -> FloatArray:
    """How fast warmth wears a deposit down, 1 at 22 C. [1], shaped as the temperature"""
    return np.asarray(2.0 ** ((np.asarray(temperature_c, dtype=np.float64) - WARMTH_C) / DOUBLES_C))


def deposit_left(
    half_life_days: float,
    fading: FloatArray,
    rain_mm: FloatArray,
    *,
    dry_hours: float = 0.0,
    mm_halves: float | None = None,
    washed_off: float = 0.0,
) -> FloatArray:
    """Share of a deposit left at the start of each day, the first day 1. [0 to 1], as the rain

    fading  : how fast it fades each day beside the days of its half-life; 0 where only rain takes
              it, (n_days,). [1]
    rain_mm : rain of each day from the day it was put on, (..., n_days). [mm]

    First-order loss; the first day's rain as `first_day_left`, that of later days as `dried_left`.
    """
    if half_life_days <= 0:
        raise ValueError(f"half-life must be above 0 days, not {half_life_days:g}")
    rain, speed = _known(rain_mm), np.asarray(fading, dtype=np.float64)
    if rain.ndim < 1 or rain.shape[-1:] != speed.shape:
        raise ValueError(f"rain and pace must be of the same days, not {rain.shape}, {speed.shape}")
    kept = dried_left(rain, mm_halves, washed_off)
    kept[..., :1] = first_day_left(rain[..., :1], dry_hours, mm_halves, washed_off)
    daily = kept * 0.5 ** (speed / half_life_days)
    left = np.ones_like(daily)
    left[..., 1:] = np.cumprod(daily, axis=-1)[..., :-1]
    return left


def _known(rain_mm: ArrayLike) -> FloatArray:
    rain = np.asarray(rain_mm, dtype=np.float64)
    if np.any(np.isnan(rain)) or np.any(rain < 0):
        raise ValueError("rain must be known and not below 0 on every day")
    return rain
