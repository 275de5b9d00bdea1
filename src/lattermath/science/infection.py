"""Infection of leaves by temperature and wetness, or by temperature alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.development import thermal_response

FloatArray = NDArray[np.float64]


def wet_hours_needed(
    temperature_c: ArrayLike,
    low: float,
    best: float,
    high: float,
    fewest_h: float,
    most_h: float,
) -> FloatArray:
    """Hours of wetness that infection takes at one temperature; inf where there is none. [h]

    temperature_c    : mean of the wet period, any shape. [C]
    low, best, high  : temperatures with no, most and again no infection. [C]
    fewest_h         : hours needed at the best temperature. [h]
    most_h           : hours that are enough wherever infection is possible at all. [h]

        W = min(fewest / f(T), most),  f = `thermal_response`

    Source: Magarey, Sutton and Thayer 2005, abstract and a description of the equations read.
    Holds for: 20 % incidence or 5 % severity on inoculated plants. Near both limits the curve is
    kinder to the fungus than trials are; see `wet_hours_in_trials`.
    """
    if not 0 < fewest_h <= most_h:
        raise ValueError(f"hours must rise from above 0: {fewest_h:g}, {most_h:g}")
    response = thermal_response(temperature_c, low, best, high)
    possible = np.where(response > 0, response, 1.0)
    return np.where(response > 0, np.minimum(fewest_h / possible, most_h), np.inf)


def infection(
    temperature_c: ArrayLike,
    wet_hours: ArrayLike,
    low: float,
    best: float,
    high: float,
    fewest_h: float,
    most_h: float,
) -> FloatArray:
    """Share of the best infection from one wet period; 0 where it was too short. [0 to 1]

    temperature_c, wet_hours : mean and length of the period; broadcast. [C], [h]
    low, best, high, fewest_h, most_h : as in `wet_hours_needed`. [C], [C], [C], [h], [h]

    The model knows a threshold and no partial infection below it: enough hours give the response
    of the temperature, fewer give 0. NaN gives NaN.
    """
    response = thermal_response(temperature_c, low, best, high)
    needed = wet_hours_needed(temperature_c, low, best, high, fewest_h, most_h)
    hours = np.asarray(wet_hours, dtype=np.float64)
    unknown = np.isnan(hours) | np.isnan(response)
    return np.where(unknown, np.nan, np.where(hours >= needed, response, 0.0))


def wet_hours_in_trials(
    temperature_c: ArrayLike, trials: Sequence[tuple[float, float]], stops_c: float
) -> FloatArray:
    """Hours of wetness after which trials found infection; inf where they found none. [h]

    temperature_c : mean of the wet period, any shape. [C]
    trials        : (lowest temperature with infection [C], wet hours), in any order.
    stops_c       : temperature above which trials found none. [C]

    Steps, not a curve: below 20 C the hours found enough at 15 C are asked for, and so on; below
    the coldest trial there is none.
    """
    heat = np.asarray(temperature_c, dtype=np.float64)
    needed = np.full(heat.shape, np.inf)
    for coldest, hours in sorted(trials):
        needed = np.where(heat >= coldest, hours, needed)
    return np.where(np.isnan(heat), np.nan, np.where(heat > stops_c, np.inf, needed))
