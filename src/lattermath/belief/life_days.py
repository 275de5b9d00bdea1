"""What the weather alone makes of one organism: what any insects of a place have in common."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LifeDays:
    """One organism day by day, before anything is known of its insects. (n_futures, n_days, ...)

    passed        : share of the development from egg to adult done. [1/d]
    pushes, entry, stride : of the clock of every part, see `stage_cohorts.Cycle`, (..., n_parts).
    active        : share of the adults of a warm day that are on the wing. [0 to 1]
    laying        : daughters of one laying female on the best host. [1/d]
    adult_rate    : share of an adult life passed. [1/d]
    young, burnt  : deaths of the young, and of adults by heat. [1/d]
    night         : share that the cold of its night leaves, by stage, (..., n_stages). [0 to 1]
    """

    passed: FloatArray
    pushes: NDArray[np.int16]
    entry: NDArray[np.float32]
    stride: NDArray[np.float32]
    active: FloatArray
    laying: FloatArray
    adult_rate: FloatArray
    young: FloatArray
    burnt: FloatArray
    night: FloatArray

    def of_draws(self, future_of_draw: NDArray[np.int64]) -> LifeDays:
        """The days of each draw, (n_draws, n_days, ...)."""
        return LifeDays(*(getattr(self, one.name)[future_of_draw] for one in fields(self)))

    def before(self, day: int) -> LifeDays:
        """The days before one of them, (n_futures, day, ...)."""
        return LifeDays(*(getattr(self, one.name)[:, :day] for one in fields(self)))
