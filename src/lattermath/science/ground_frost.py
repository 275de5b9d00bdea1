"""How much colder leaves near the ground are than the screen on a still, clear night."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

COLDER_C = 2.0  # rule leaf_colder_than_screen_c: 2, between 1 and 4, recalled
CLEAR_RANGE_C = 12.0  # judgement: a day that rose so far above its night was clear
CLOUDY_RANGE_C = 4.0  # judgement: one that rose no further had cloud or wind all night


def leaf_minimum(
    t_min: ArrayLike, t_max: ArrayLike, colder_c: float = COLDER_C
) -> NDArray[np.float64]:
    """Lowest temperature of leaves in the open, broadcast over the inputs. [C]

    t_min, t_max : daily extremes at 1.5 m. [C]
    colder_c     : how far leaves fall below the screen in a clear, still night. [C]

    The fall grows with the day's range from none at 4 C to all of it at 12 C: cloud and wind that
    keep a night mild keep its range small.
    Source: 1 to 4 C from memory; the range as a sign of cloud is judgement.
    """
    low, high = np.asarray(t_min, dtype=np.float64), np.asarray(t_max, dtype=np.float64)
    clear = np.clip((high - low - CLOUDY_RANGE_C) / (CLEAR_RANGE_C - CLOUDY_RANGE_C), 0.0, 1.0)
    return np.asarray(low - colder_c * clear)
