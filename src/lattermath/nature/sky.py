"""The weather that a plot lives through, as plain daily figures, and the hours made of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Streams = Callable[[str], np.random.Generator]

HOURS = np.arange(24)
COLDEST_HOUR, WARMEST_HOUR = 5, 15  # judgement: about sunrise, and mid-afternoon


@dataclass(frozen=True, slots=True, eq=False)
class NatureSky:
    """Daily weather from day 0 on.

    first        : date of day 0.
    t_min, t_max : (n_days,). [C]
    rain         : (n_days,). [mm]
    """

    first: date
    t_min: FloatArray
    t_max: FloatArray
    rain: FloatArray

    @property
    def n_days(self) -> int:
        """Days covered."""
        return len(self.t_min)

    def index(self, day: date) -> int:
        """Place of a day; it may lie outside."""
        return (day - self.first).days

    def day(self, index: int) -> date:
        """The date of a place."""
        return self.first + timedelta(days=index)

    def hours(self, index: int) -> FloatArray:
        """Temperature of each hour of a day, (24,). [C]

        Two half cosines: up from the low at five to the high at three in the afternoon, and down
        to the low of the next morning.
        """
        low, high = self.t_min[index], self.t_max[index]
        next_low = self.t_min[min(index + 1, self.n_days - 1)]
        last_high = self.t_max[max(index - 1, 0)]
        climb = WARMEST_HOUR - COLDEST_HOUR
        fall = 24 - climb
        rising = _wave((HOURS - COLDEST_HOUR) / climb, low, high)
        evening = _wave((HOURS - WARMEST_HOUR) / fall, high, next_low)
        morning = _wave((HOURS + 24 - WARMEST_HOUR) / fall, last_high, low)
        return np.where(
            HOURS < COLDEST_HOUR, morning, np.where(HOURS < WARMEST_HOUR, rising, evening)
        )


def _wave(passed: FloatArray, begin: float, end: float) -> FloatArray:
    """Half a cosine from one value to the other."""
    return np.asarray(begin + (end - begin) * (1 - np.cos(np.pi * passed)) / 2)
