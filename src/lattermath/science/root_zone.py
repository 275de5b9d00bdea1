"""The water a bed's roots can reach: a bucket filled by rain and can, emptied by the crop."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

LEAST_RAIN_SHARE = 0.2  # rain under this share of the day's ET0 only wets leaves (FAO-56 ch. 8)
P_LEAST, P_MOST = 0.1, 0.8  # bounds of the adjusted depletion fraction (FAO-56 table 22, note)


@dataclass(frozen=True, slots=True)
class RootZoneRun:
    """Day by day, shape (..., n_days), in mm."""

    depletion_mm: Floats  # below field capacity, at the end of the day
    ks: Floats  # 1 unstressed, 0 at wilting point
    evapotranspiration_mm: Floats  # actual
    drained_mm: Floats  # below the roots
    ignored_rain_mm: Floats  # too little to reach the soil
    raw_mm: Floats  # what can be lost before growth suffers


def total_available_water(
    field_capacity: ArrayLike, wilting_point: ArrayLike, root_m: ArrayLike
) -> Floats:
    """Water between field capacity and wilting point within the roots, FAO-56 eq. 82. [mm]

    Water contents by volume, root depth in m. ValueError where they cannot be.
    """
    wet, dry, depth = (np.asarray(v, float) for v in (field_capacity, wilting_point, root_m))
    if np.any(wet <= dry) or np.any(dry < 0) or np.any(wet > 1) or np.any(depth <= 0):
        raise ValueError("need 0 <= wilting point < field capacity <= 1 and roots deeper than 0")
    taw: Floats = 1000 * (wet - dry) * depth
    return taw


def adjusted_fraction(depletion_fraction: ArrayLike, etc_mm: ArrayLike) -> Floats:
    """Depletion fraction for the day's demand: p + 0.04 (5 - ETc), within 0.1..0.8. [1]

    Source: FAO-56 table 22, note; read second-hand.
    """
    p = np.asarray(depletion_fraction, float) + 0.04 * (5 - np.asarray(etc_mm, float))
    fraction: Floats = np.clip(p, P_LEAST, P_MOST)
    return fraction


def stress_coefficient(depletion_mm: ArrayLike, taw_mm: ArrayLike, raw_mm: ArrayLike) -> Floats:
    """Share of the unstressed water use that a crop still takes, Ks, FAO-56 eq. 84. [1]"""
    total, easy = np.asarray(taw_mm, float), np.asarray(raw_mm, float)
    ks: Floats = np.clip((total - np.asarray(depletion_mm, float)) / (total - easy), 0.0, 1.0)
    return ks


def root_zone(
    et0_mm: ArrayLike,
    rain_mm: ArrayLike,
    kc: ArrayLike,
    taw_mm: ArrayLike,
    depletion_fraction: ArrayLike,
    start_depletion_mm: ArrayLike = 0.0,
    irrigation_mm: ArrayLike = 0.0,
    *,
    adjust_fraction: bool = False,
) -> RootZoneRun:
    """Depletion of the root zone day by day, FAO-56 eq. 85. [mm]

    et0_mm, rain_mm, irrigation_mm, kc : shape (..., n_days) or one number.
    taw_mm             : total available water; one number, or by day where roots still deepen (the
                         new layer then comes at field capacity).
    depletion_fraction : p, used as given; with `adjust_fraction` moved by the day's demand.
    start_depletion_mm : before the first day, shape (...) or one number.

    Ks of a day comes from the depletion at the end of the day before. Rain below a fifth of the
    day's ET0 is ignored. What overfills the root zone drains the same day, and a crop cannot take
    more than is there. NaN in gives NaN from there on. ValueError for negative water, a fraction
    outside 0..1 or a start outside 0..TAW.

    Source: Allen et al. 1998, FAO-56 ch. 8; examples 36 and 37 read second-hand.
    Holds for: level, freely drained soil without a water table near the roots.
    """
    et0, rain, water, factor, taw, p = np.broadcast_arrays(
        *(
            np.asarray(v, float)
            for v in (et0_mm, rain_mm, irrigation_mm, kc, taw_mm, depletion_fraction)
        )
    )
    start = np.broadcast_to(np.asarray(start_depletion_mm, float), et0.shape[:-1])
    _check(et0, rain, water, factor, taw, p, start)
    demand = factor * et0
    raw = taw * (adjusted_fraction(p, demand) if adjust_fraction else p)
    ignored = np.where(rain < LEAST_RAIN_SHARE * et0, rain, 0.0)
    gone, stress, used, drained = (np.empty(et0.shape) for _ in range(4))
    depletion = start
    for day in range(et0.shape[-1]):
        full = taw[..., day]
        ks = stress_coefficient(depletion, full, raw[..., day])
        got = rain[..., day] - ignored[..., day] + water[..., day]
        there = np.maximum(full - depletion, 0.0) + got
        taken = np.minimum(ks * demand[..., day], there)
        after = depletion - got + taken
        drained[..., day] = np.maximum(-after, 0.0)
        depletion = np.maximum(after, 0.0)
        gone[..., day], stress[..., day], used[..., day] = depletion, ks, taken
    return RootZoneRun(gone, stress, used, drained, ignored, raw)


def water_due(depletion_mm: ArrayLike, raw_mm: ArrayLike) -> Floats:
    """Water that refills the root zone where it is due, 0 where it is not yet. [litre m-2]

    Due from the moment the readily available water is gone. 1 mm is 1 litre on a square metre.
    """
    gone = np.asarray(depletion_mm, float)
    unknown = np.isnan(gone) | np.isnan(np.asarray(raw_mm, float))
    return np.where(unknown, np.nan, np.where(gone >= np.asarray(raw_mm, float), gone, 0.0))


def days_until_due(depletion_mm: ArrayLike, raw_mm: ArrayLike) -> Floats:
    """Days until water is due in each future, shape (...). [d]

    depletion_mm : at the end of each coming day, shape (..., n_days); 1 means tomorrow's end is
                   meant by index 1. inf where it does not come due within the days given; NaN where
                   an unknown day comes first.
    """
    gone, easy = np.broadcast_arrays(np.asarray(depletion_mm, float), np.asarray(raw_mm, float))
    settled = (gone >= easy) | np.isnan(gone)
    first = np.argmax(settled, axis=-1)
    value = np.take_along_axis(gone, first[..., None], axis=-1)[..., 0]
    days = np.where(np.isnan(value), np.nan, first.astype(float))
    return np.where(settled.any(axis=-1), days, np.inf)


def chance_due(depletion_mm: ArrayLike, raw_mm: ArrayLike) -> Floats:
    """Chance over the futures that water has come due by the end of each day, shape (n_days,).

    depletion_mm : shape (n_futures, n_days); futures are the first axis. [mm]
    """
    gone = np.asarray(depletion_mm, float)
    passed = np.logical_or.accumulate(gone >= np.asarray(raw_mm, float), axis=-1)
    unknown = np.logical_or.accumulate(np.isnan(gone), axis=-1)
    share: Floats = np.where(unknown & ~passed, np.nan, passed).mean(axis=0)
    return share


def _check(
    et0: Floats,
    rain: Floats,
    water: Floats,
    factor: Floats,
    taw: Floats,
    p: Floats,
    start: Floats,
) -> None:
    """Refuse what cannot be a bed."""
    for name, values in (("et0", et0), ("rain", rain), ("irrigation", water), ("kc", factor)):
        if np.any(values < 0):
            raise ValueError(f"{name} must not be negative")
    if np.any(taw <= 0) or np.any((p <= 0) | (p >= 1)):
        raise ValueError("available water must be above 0 and the depletion fraction within 0..1")
    if et0.shape[-1] and np.any((start < 0) | (start > taw[..., 0])):
        raise ValueError("the depletion at the start must lie between 0 and the available water")
