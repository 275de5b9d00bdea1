"""What short days and a low sun take from late plantings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Days = NDArray[np.float64]

# Judgement (rules late_light_penalty of the crop table): degree-days alone over-promise in autumn.
STARTS_DAYS_AFTER_SOLSTICE = 55
ENDS_DAYS_AFTER_SOLSTICE = 183  # the winter solstice: lengthening days take nothing
FULL_DAYLENGTH_H = 13.5
FULL_RADIATION_MJ = 20.0
YIELD_EXPONENT = 0.85  # published: 1 % light is 0.7 to 1 % fruit (marcelis2006, abstract)


def development_share(daylength_h: Days, days_after_solstice: Days) -> Days:
    """Share of the normal daily development left to a warm-season fruiting crop, 0 to 1.

    daylength_h         : hours from sunrise to sunset, (n_days,). [h]
    days_after_solstice : days since the summer solstice of this hemisphere, (n_days,). [d]

    Nothing is taken before 55 days after the solstice (15 August in the north).
    """
    late = days_after_solstice >= STARTS_DAYS_AFTER_SOLSTICE
    late &= days_after_solstice < ENDS_DAYS_AFTER_SOLSTICE
    return np.where(late, np.minimum(1.0, daylength_h / FULL_DAYLENGTH_H), 1.0)


def yield_share(radiation_mj: Days, exponent: float = YIELD_EXPONENT) -> Days:
    """Share of the normal daily yield that the day's light allows, 0 to 1.

    radiation_mj : solar radiation on the level, any shape. [MJ/m2/d]
    exponent     : 0.7 to 1.0; half the light leaves 50 to 62 % of the yield.

    Source: marcelis2006 for the exponent; 20 MJ as full light is judgement.
    """
    share = np.clip(radiation_mj / FULL_RADIATION_MJ, 0.0, 1.0)
    return np.asarray(share**exponent)
