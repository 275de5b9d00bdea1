"""How long leaves stay wet after water was given over them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# Hours of day that a film of water takes to dry: dry side, middle, wet side of what may be; and how
# fast it dries between sunset and sunrise beside the day. Judgement; a published sentence on wet
# evenings falls inside, see docs/validation.md.
DRIES_H = (1.0, 2.0, 3.0)
PACE_AT_NIGHT = (0.25, 0.05, 0.0)
HOURS = 48
STEPS_AN_HOUR = 12


def wet_after_watering(
    at_h: float, sunrise_h: float, sunset_h: float, lean: float = 0.0
) -> FloatArray:
    """Share of each hour with wet leaves, (48,) from the midnight before the watering. [0 to 1]

    at_h                : hour at which water was given over the leaves. [h]
    sunrise_h, sunset_h : of that day; the next is taken to be like it. [h]
    lean                : -1 for the dry side of what may be, 0 for the middle, 1 for the wet side.

    A film dries in so many hours of day; in the dark it hardly dries, so that water given in the
    evening stays until the morning.

    Source: none measured; hours are judgement.
    Holds for: summers of temperate places; shelter and drip keep leaves wet for longer.
    """
    hours = (np.arange(HOURS * STEPS_AN_HOUR) + 0.5) / STEPS_AN_HOUR
    of_day = hours % 24
    light = (of_day >= sunrise_h) & (of_day < sunset_h)
    dries, dark = (float(np.interp(lean, (-1, 0, 1), part)) for part in (DRIES_H, PACE_AT_NIGHT))
    given = hours >= at_h
    dried = np.cumsum(np.where(light, 1.0, dark) * given) / STEPS_AN_HOUR
    wet = given & (dried <= dries)
    return np.asarray(wet.reshape(HOURS, STEPS_AN_HOUR).mean(1))
