"""The share of reference evapotranspiration that a crop takes, through its four stages."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Below this the climate does not move the coefficient at the end of the season (FAO-56 eq. 65).
LEAST_ADJUSTED_END = 0.45


def kc_on_day(day: ArrayLike, stages_days: Sequence[float], kc: Sequence[float]) -> Floats:
    """Crop coefficient on a day of the crop's season, FAO-56 eq. 66. [1]

    day         : number of the day in the crop's season, from sowing or setting out; any shape.
    stages_days : lengths of the initial, development, middle and late stage. [d]
    kc          : coefficients of the initial stage, the middle and the end.

    Level through the initial and middle stage, straight between; after the season the coefficient
    of the end holds. NaN in gives NaN out. ValueError for other than four stages and three
    coefficients, for negative ones, or for a day before the season.

    Source: Allen et al. 1998, FAO-56 ch. 6; table rows second-hand.
    Holds for: well-watered crops in plots larger than a few metres; a lone row uses more.
    """
    lengths, values = np.asarray(stages_days, float), np.asarray(kc, float)
    if lengths.shape != (4,) or values.shape != (3,):
        raise ValueError("a crop coefficient needs four stage lengths and three coefficients")
    if not (np.all(lengths >= 0) and np.all(values >= 0)):
        raise ValueError("stage lengths and crop coefficients must be known and not negative")
    when = np.asarray(day, float)
    if np.any(when < 0):
        raise ValueError("the day lies before the season of the crop")
    ends = np.cumsum(lengths)
    curve: Floats = np.interp(when, ends, [values[0], values[1], values[1], values[2]])
    return curve


def scaled_stages(stages_days: Sequence[float], season_days: float) -> tuple[float, ...]:
    """The four stages stretched or shrunk in proportion to a season of another length. [d]

    The published lengths belong to long field seasons; a garden crop keeps their fractions.
    ValueError where either length is not above 0.
    """
    total = float(sum(stages_days))
    if not (total > 0 and season_days > 0):
        raise ValueError("the stages and the season must be longer than 0 days")
    return tuple(length * season_days / total for length in stages_days)


def climate_step(wind_m_s: ArrayLike, rh_min: ArrayLike, height_m: ArrayLike) -> Floats:
    """What wind and dryness add to a coefficient, FAO-56 eq. 62. [1]

    wind_m_s : at 2 m, taken within 1..6. [m/s]
    rh_min   : mean daily minimum relative humidity, taken within 20..80. [%]
    height_m : mean height of the crop in the stage. [m]
    """
    wind = np.clip(np.asarray(wind_m_s, float), 1.0, 6.0)
    dry = np.clip(np.asarray(rh_min, float), 20.0, 80.0)
    tall = (np.asarray(height_m, float) / 3) ** 0.3
    step: Floats = (0.04 * (wind - 2) - 0.004 * (dry - 45)) * tall
    return step


def adjusted_kc(
    kc: Sequence[float], wind_m_s: float, rh_min: float, height_m: float
) -> tuple[float, float, float]:
    """Initial, middle and end coefficient for the climate of the place. [1]

    The tabled ones are for wind of 2 m/s and a minimum humidity of 45 %. The middle is always
    adjusted, the end where it is at least 0.45, the initial one never.
    Source: FAO-56 eq. 62 and 65; example 27 read second-hand.
    """
    initial, middle, end = (float(value) for value in kc)
    step = float(climate_step(wind_m_s, rh_min, height_m))
    return initial, middle + step, end + step if end >= LEAST_ADJUSTED_END else end
