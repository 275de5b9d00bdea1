"""In which of its stages an organism dies: the deaths from egg to adult, shared out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.life_limits import LEAST_SURVIVAL
from lattermath.knowledge.organisms import Habits

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class StageDeaths:
    """Deaths of each immature stage beside those of one that dies as its development passes.

    least    : deaths from egg to adult where the table's survival is best, -ln of that. [1]
    usual    : of these deaths, (n_immature,); 1 where they fall evenly over the development. [1]
    outdoors : of what enemies and weather take beside them, (n_immature,). [1]
    """

    least: float
    usual: tuple[float, ...]
    outdoors: tuple[float, ...]

    def of_day(self, young: FloatArray, passed: FloatArray, taken: FloatArray) -> FloatArray:
        """Deaths of each stage in a day, (..., n_immature). [1/d]

        young  : by temperature alone, of a stage that dies evenly. [1/d]
        passed : share of the development from egg to adult done. [1/d]
        taken  : outdoors beside those, of such a stage. [1/d]

        Deaths of the best temperature fall on the stages as counted there; what heat or cold adds
        falls on all alike. Over the whole development the stages' deaths add up to the even ones.
        """
        usual, outdoors = np.array(self.usual), np.array(self.outdoors)
        placed = np.minimum(self.least * passed, young)[..., None]
        return np.asarray(young[..., None] + placed * (usual - 1.0) + taken[..., None] * outdoors)


def stage_deaths(
    habits: Habits, shares: Mapping[str, float], survival: Sequence[tuple[float, float]]
) -> StageDeaths:
    """How the deaths of an organism fall on its stages.

    shares   : of the development in each immature stage. [0 to 1]
    survival : share from egg to adult by temperature.
    """
    best = max(share for _, share in survival)
    usual = _beside_even(habits.deaths("dies", shares), shares)
    outdoors = _beside_even(habits.deaths("taken", shares), shares)
    return StageDeaths(-float(np.log(max(best, LEAST_SURVIVAL))), usual, outdoors)


def _beside_even(deaths: Sequence[float], shares: Mapping[str, float]) -> tuple[float, ...]:
    return tuple(d / share for d, share in zip(deaths, shares.values(), strict=True))
