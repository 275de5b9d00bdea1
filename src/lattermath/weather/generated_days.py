"""Days made up about a usual course, for places with little or no record.

Temperature departures follow a first-order autoregression of maximum and minimum together; wet days
follow a chain of wet and dry, with gamma amounts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

# Standardised departures (maximum, minimum), fitted to Brussels 1976-2005: z' = A z + B e. Derived
# (place.md A7, prototype run). Correlation of the two 0.77.
_A = np.array([[0.659, 0.100], [0.448, 0.406]])
_B = np.array([[0.674, 0.0], [0.284, 0.524]])
_SAME_DAY = 0.772
SD_MAX_K, SD_MIN_K = 4.00, 3.43  # spread of single days, Brussels 1976-2005 (derived, A7)
# Wet and dry seasons: the chain alone gives a season's rain an sd of 58 mm where Brussels has 88; a
# factor of this relative spread on each future makes up the rest (derived, A7).
SEASON_RAIN_CV = 0.24
WET_DAY_MM = 0.3
AMOUNT_SHAPE = 0.9  # gamma shape of a wet day's rain, July to October, Brussels (derived, A7)
WET_AFTER_WET = 0.35  # p11 - p01, Brussels, July to October (derived, A7)
WET_AMOUNT_MM = 5.4  # mean rain of a wet day, July to October, Brussels (derived, A7)


@dataclass(frozen=True, slots=True)
class Spread:
    """Spread of single days about the usual course. [K]"""

    t_min: float = SD_MIN_K
    t_max: float = SD_MAX_K


def departures(
    n_futures: int, n_days: int, spread: Spread, rng: np.random.Generator
) -> tuple[Values, Values]:
    """Departures of minimum and maximum from their usual course, each (n_futures, n_days). [K]

    On each day they sum to nothing over the futures. A longer run begins with the same days as a
    shorter one from the same stream.

    Source: Richardson 1981, Water Resources Research 17:182-190 (citation only); constants derived
    from one temperate record. Holds for: temperate lowlands.
    """
    noise = rng.standard_normal((n_days, n_futures, 2))
    z = np.empty((n_days, n_futures, 2))
    state = noise[0].copy()
    state[:, 1] = _SAME_DAY * noise[0, :, 0] + np.sqrt(1 - _SAME_DAY**2) * noise[0, :, 1]
    z[0] = state
    for day in range(1, n_days):
        state = state @ _A.T + noise[day] @ _B.T
        z[day] = state
    z -= z.mean(axis=1, keepdims=True)
    return z[:, :, 1].T * spread.t_min, z[:, :, 0].T * spread.t_max


def rain_days(
    usual_mm: Values, n_futures: int, rng: np.random.Generator, amount_mm: float = WET_AMOUNT_MM
) -> Values:
    """Rain of each day, shape (n_futures, n_days), whose mean is the usual rain. [mm]

    usual_mm  : usual rain a day, shape (n_days,).
    amount_mm : mean rain of a wet day; the chance of one is usual_mm / amount_mm, between 0.02 and
                0.65, and the amount is then adjusted so that the mean stays.
    """
    chance = np.clip(usual_mm / amount_mm, 0.02, 0.65)
    mean = usual_mm / chance
    of_days, of_amounts, of_seasons = rng.spawn(3)
    season = of_seasons.gamma(SEASON_RAIN_CV**-2, SEASON_RAIN_CV**2, n_futures)
    season /= season.mean()
    uniform = of_days.random((usual_mm.size, n_futures))
    amount = of_amounts.gamma(AMOUNT_SHAPE, 1.0, (usual_mm.size, n_futures)) / AMOUNT_SHAPE
    wet = np.empty((usual_mm.size, n_futures), dtype=bool)
    wet[0] = uniform[0] < chance[0]
    for day in range(1, usual_mm.size):
        dry_chance = chance[day] * (1 - WET_AFTER_WET)
        wet[day] = uniform[day] < dry_chance + wet[day - 1] * WET_AFTER_WET
    # A day that counts as wet in the records has at least WET_DAY_MM; an amount below it would
    # cut wet spells in two.
    least = np.minimum(WET_DAY_MM, mean / 2)
    rain: Values = np.where(wet.T, least + amount.T * (mean - least) * season[:, None], 0.0)
    return rain
