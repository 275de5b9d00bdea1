"""What a treatment kills, by route: contact at once, residue day by day, physical removal."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

RAIN_THAT_WASHES_MM = 2.54  # rain of a day that counts as one washing in the GLEAMS scheme


def contact_kill(kill_where_wetted: ArrayLike, wetted_share: ArrayLike) -> FloatArray:
    """Share killed at once by a material that acts only while wet. [0 to 1]

    kill_where_wetted : kill of insects that were wetted. [0 to 1]
    wetted_share      : share of the insects that sit where the spray went. [0 to 1]

    Missed leaves are missed: no dose makes up for a surface that stayed dry.
    """
    kill = np.asarray(kill_where_wetted, dtype=np.float64)
    wetted = np.asarray(wetted_share, dtype=np.float64)
    return np.asarray(np.clip(kill, 0, 1) * np.clip(wetted, 0, 1))


def wetted_share(
    on_surface: Sequence[float], wetted: Sequence[bool], coverage: ArrayLike
) -> FloatArray:
    """Share of insects wetted, from where they sit and which surfaces were sprayed. [0 to 1]

    on_surface : share of the stage on each surface; sums to 1.
    wetted     : was that surface sprayed?
    coverage   : share of the sprayed surfaces that was wetted. [0 to 1]
    """
    if abs(sum(on_surface) - 1) > 1e-6:
        raise ValueError(f"shares by surface sum to {sum(on_surface):g}, not to 1")
    there = sum(share for share, hit in zip(on_surface, wetted, strict=True) if hit)
    return there * np.asarray(coverage, dtype=np.float64)


def residue(
    half_life_days: float,
    days: int,
    rain_mm: Sequence[float] | None = None,
    wash_off_fraction: float = 0.0,
) -> FloatArray:
    """Share of a deposit left after 0, 1 ... `days` days. [0 to 1], shape (days + 1,)

    half_life_days    : on the leaf. [d]
    rain_mm           : rain of day 0, 1 ...; left out, or shorter than `days`, means dry. [mm]
    wash_off_fraction : share of what is left that a day of rain takes off. [0 to 1]

    First-order decay; each day with more than 2.54 mm of rain takes `wash_off_fraction` off.
    Source: SWAT and GLEAMS foliar scheme (table figures read, the 2.54 mm from memory).
    Holds for: well-dried deposits. Fresh ones can lose most in the first 5 mm.
    """
    if half_life_days <= 0:
        raise ValueError(f"half-life must be above 0 days, not {half_life_days:g}")
    if days < 0:
        raise ValueError(f"days must not be below 0, not {days}")
    if not 0 <= wash_off_fraction <= 1:
        raise ValueError(f"wash-off must lie between 0 and 1, not {wash_off_fraction:g}")
    rain = np.zeros(days)
    given = np.asarray([] if rain_mm is None else rain_mm, dtype=np.float64)[:days]
    if np.any(np.isnan(given)) or np.any(given < 0):
        raise ValueError("rain must be known and not below 0 on every day")
    rain[: len(given)] = given
    kept = np.where(rain > RAIN_THAT_WASHES_MM, 1.0 - wash_off_fraction, 1.0)
    daily = kept * 0.5 ** (1.0 / half_life_days)
    return np.concatenate([[1.0], np.cumprod(daily)])


def residual_kill(
    first_day_kill: ArrayLike, residue_left: ArrayLike, leaf_growth: float = 0.0
) -> FloatArray:
    """Share killed on each day by a deposit that fades. [0 to 1], shape (..., n_days)

    first_day_kill : share that a full deposit kills in a day, shape (...,). [0 to 1]
    residue_left   : share of the deposit left at the start of each day, shape (n_days,).
    leaf_growth    : leaf that unfolds in a day as a share of the plant's leaf; it is bare. [1/d]

    The daily hazard -ln(1 - kill) is taken in proportion to the deposit. Leaves grown since stay
    uncovered, so the cover is thinned by exp(-growth t).
    """
    left = np.asarray(residue_left, dtype=np.float64)
    cover = left * np.exp(-leaf_growth * np.arange(left.shape[-1]))
    hazard = -np.log1p(-np.clip(np.asarray(first_day_kill, dtype=np.float64), 0, 1 - 1e-9))
    return np.asarray(-np.expm1(-hazard[..., None] * cover))


def left_alive(*kills: ArrayLike) -> FloatArray:
    """Share left alive after several independent kills. [0 to 1]"""
    left = np.ones(())
    for kill in kills:
        left = left * (1.0 - np.clip(np.asarray(kill, dtype=np.float64), 0, 1))
    return left
