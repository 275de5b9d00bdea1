"""Evaporation from the bare, wetted topsoil between the plants: the dual crop coefficient."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.crop_coefficient import climate_step

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Topsoil:
    """What the topsoil holds and how it is wetted."""

    evaporable_mm: float  # TEW, all that can evaporate from it [mm]
    easily_mm: float  # REW, what evaporates at full rate [mm]
    wetted_share: float = 1.0  # fw: can over the whole bed 1, drip 0.3 to 0.4; recalled


@dataclass(frozen=True, slots=True)
class TopsoilRun:
    """Day by day, shape (..., n_days)."""

    ke: Floats  # evaporation coefficient [1]
    kr: Floats  # share of the full rate [1]
    exposed_wetted: Floats  # few: share of the bed both bare and wetted [1]
    evaporation_mm: Floats
    depletion_mm: Floats  # of the exposed wetted part, at the end of the day
    drained_mm: Floats  # passed on below the topsoil of that part


def evaporable_water(field_capacity: float, wilting_point: float, depth_m: float = 0.1) -> float:
    """Water that can evaporate from the topsoil, FAO-56 eq. 73. [mm]

    Water contents by volume; depth 0.10 to 0.15 m.
    """
    return 1000 * (field_capacity - 0.5 * wilting_point) * depth_m


def kc_ceiling(
    kcb: ArrayLike, wind_m_s: ArrayLike, rh_min: ArrayLike, height_m: ArrayLike
) -> Floats:
    """The most that crop and wet soil together can take, Kc max, FAO-56 eq. 72. [1]"""
    open_air = 1.2 + climate_step(wind_m_s, rh_min, height_m)
    ceiling: Floats = np.maximum(open_air, np.asarray(kcb, float) + 0.05)
    return ceiling


def topsoil_evaporation(
    et0_mm: ArrayLike,
    rain_mm: ArrayLike,
    irrigation_mm: ArrayLike,
    kcb: ArrayLike,
    kc_max: ArrayLike,
    cover: ArrayLike,
    topsoil: Topsoil,
    start_depletion_mm: ArrayLike | None = None,
) -> TopsoilRun:
    """Daily evaporation from the topsoil by the dual crop coefficient, FAO-56 eq. 71 to 79. [mm]

    et0_mm, rain_mm, irrigation_mm, kcb, kc_max, cover : shape (..., n_days) or one number.
        Irrigation is over the whole bed, given early in the day; `cover` is the share of the ground
        under leaves.
    start_depletion_mm : of the exposed wetted part before the first day; all of it where unknown,
        which never makes the soil wetter than it is.

    The rain of a day reaches the soil before the evaporation of that day. NaN in gives NaN from
    there on. ValueError where the topsoil cannot be.

    Source: Allen et al. 1998, FAO-56 ch. 7; example 35 read second-hand.
    Holds for: level soil without capillary rise; root uptake from the topsoil is neglected.
    """
    if not (0 <= topsoil.easily_mm < topsoil.evaporable_mm and 0 < topsoil.wetted_share <= 1):
        raise ValueError("the topsoil needs 0 <= easily < evaporable water, and 0 < share <= 1")
    et0, rain, water, crop, top, shade = np.broadcast_arrays(
        *(np.asarray(v, float) for v in (et0_mm, rain_mm, irrigation_mm, kcb, kc_max, cover))
    )
    exposed = np.maximum(np.minimum(1 - shade, topsoil.wetted_share), 0.01)
    full = topsoil.evaporable_mm
    before = full if start_depletion_mm is None else start_depletion_mm
    depletion = np.broadcast_to(np.asarray(before, float), et0.shape[:-1])
    run = TopsoilRun(*(np.empty(et0.shape) for _ in range(6)))
    run.exposed_wetted[...] = exposed
    for day in range(et0.shape[-1]):
        wet = depletion - rain[..., day] - water[..., day] / topsoil.wetted_share
        run.drained_mm[..., day] = np.maximum(-wet, 0.0)
        wet = np.maximum(wet, 0.0)
        kr = np.clip((full - wet) / (full - topsoil.easily_mm), 0.0, 1.0)
        room, few = top[..., day] - crop[..., day], exposed[..., day]
        ke = np.minimum(kr * room, few * top[..., day])
        lost = np.minimum(ke * et0[..., day], few * (full - wet))
        depletion = wet + lost / few
        run.kr[..., day], run.ke[..., day] = kr, ke
        run.evaporation_mm[..., day], run.depletion_mm[..., day] = lost, depletion
    return run
