"""How long the water in a cup lasts: little mix, and a plant that outgrows it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

HELD_SHARE = 0.3  # judgement: of the cup's volume, between well watered and wilting
MOUTH_M2_AT_200_ML = 0.0038  # a cup 7 cm across, by its shape
LEAF_SPREAD = 3.0  # judgement: leaf of a plant that fills its cup, in mouths of the cup


def days_of_water(cup_ml: ArrayLike, fill: ArrayLike, et0_mm: ArrayLike) -> NDArray[np.float64]:
    """Days from a full watering until the plant wilts, broadcast over the inputs. [d]

    cup_ml : volume of the cup. [ml]
    fill   : how full of roots it is, 0 to 1; more counts as 1.
    et0_mm : reference evapotranspiration where it stands. [mm/d]

    The mix holds three tenths of the volume; bare mix and leaf lose water at the reference rate
    over the mouth of the cup and three times that of leaf when it is full of roots.
    Holds for: plastic cups in the open, light shade. Source: form and shares judgement; it gives
    the common practice that a full cup of 200 ml wants water once or twice a day in heat.
    """
    volume = np.asarray(cup_ml, dtype=np.float64)
    mouth = MOUTH_M2_AT_200_ML * (volume / 200.0) ** (2 / 3)
    leaf = 1.0 + LEAF_SPREAD * np.clip(np.asarray(fill, dtype=np.float64), 0.0, 1.0)
    lost_ml = np.maximum(np.asarray(et0_mm, dtype=np.float64), 0.1) * mouth * leaf * 1000.0
    return np.asarray(HELD_SHARE * volume / lost_ml)
