"""Soil temperature at sowing depth from the air above it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Share of the gap between air and soil closed in a day; memory, no paper open. [1/d]
RESPONSE_10CM = 0.20
RESPONSE_5CM = 0.35
CANOPY_EXTINCTION = 0.45  # memory; the idea of damping by leaf area is published [m2/m2]


def soil_temperature(
    air_mean: ArrayLike,
    response: float = RESPONSE_10CM,
    leaf_area_index: ArrayLike = 0.0,
    start: ArrayLike | None = None,
) -> Floats:
    """Daily mean soil temperature that follows the daily mean of the air. [C]

    air_mean        : shape (..., n_days). [C]
    response        : share of the gap closed each day, about 0.2 at 10 cm and 0.35 at 5 cm.
    leaf_area_index : of the canopy above; one number or shape (..., n_days). A canopy damps warming
                      steps by exp(-0.45 LAI), and cooling steps not. [m2/m2]
    start           : soil temperature the day before the first; the first day's air where unknown.

    One state in place of a running mean of about eleven days. NaN in gives NaN from there on, for
    the state is lost: fill gaps first. ValueError for a response outside 0..1.

    Source: Zheng, Hunt & Running 1993, Climate Research 2:183-191 (abstract read: an 11-day mean of
    air explains 85 to 96 % at 10 cm, standard error 1.5 to 2.9 C); this recursion is derived from
    it and its rates are memory.
    Holds for: bare or cropped moist soil, July to October; not under plastic or snow.
    """
    if not 0 < response <= 1:
        raise ValueError("the response of the soil must lie above 0 and at most 1")
    air = np.asarray(air_mean, float)
    shade = np.broadcast_to(np.exp(-CANOPY_EXTINCTION * np.asarray(leaf_area_index)), air.shape)
    soil = np.empty(air.shape)
    state = air[..., 0] if start is None else np.broadcast_to(start, air.shape[:-1])
    for day in range(air.shape[-1]):
        gap = air[..., day] - state
        state = state + response * np.where(gap > 0, gap * shade[..., day], gap)
        soil[..., day] = state
    return soil
