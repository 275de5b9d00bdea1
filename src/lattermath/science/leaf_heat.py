"""How warm watered leaves are on a hot day, beside the air of the screen."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.humidity import saturation_vapour_pressure

# Recalled: watered crops in sun lie below the air by about 2 C for every kPa that the air lacks to
# saturation, less two to five: Idso's baselines of 1982, tomato 1.96 and 2.9, cucumber 2.52 and
# 4.9, bean 2.35 and 2.9, potato 1.83 and 1.2. Ours is about their middle.
COOLER_PER_KPA, FROM_KPA = 2.1, 1.3
# Judgement: shares of that by which leaves of one bed are cooler; some are dry or old.
OF_LEAVES = (0.4, 0.7, 1.0)


def leaf_heat(temperature: ArrayLike, t_min: ArrayLike) -> NDArray[np.float64]:
    """Temperature of the leaves of a watered bed in warm, dry air, (..., n_moments, 3). [C]

    temperature : of the air at moments of the day, (..., n_moments). [C]
    t_min       : lowest of the day, at which the air is taken to be saturated, (...,). [C]

    From 1.3 kPa below saturation on leaves are cooler than the air; in damper air they are taken to
    be as warm. Steady heat, which only a laboratory has, lacks nothing and is felt whole.

    Source: size recalled (Idso 1982), its spread among leaves judgement; the night's minimum as dew
    point FAO-56 eq. 48.
    """
    air = np.asarray(temperature, dtype=np.float64)
    damp = saturation_vapour_pressure(t_min)[..., None]
    cooler = COOLER_PER_KPA * np.maximum(saturation_vapour_pressure(air) - damp - FROM_KPA, 0.0)
    return np.asarray(air[..., None] - cooler[..., None] * np.array(OF_LEAVES))


def cooled_days(t_min: ArrayLike, t_max: ArrayLike) -> NDArray[np.bool_]:
    """Whether any leaf is cooler than the air on a day, shapes broadcast. t_min, t_max in C."""
    lacks = saturation_vapour_pressure(t_max) - saturation_vapour_pressure(t_min)
    return np.asarray(lacks > FROM_KPA)
