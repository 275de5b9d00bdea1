"""Yield lost to leaf disease: little while it is young, much when old; never a straight line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LeafLoss:
    """Loss of one day's yield by the share of leaf that is ill.

        lost = worst * ((s - tolerated) / (1 - tolerated))^2 above `tolerated`, else 0

    worst     : share of the yield lost with every leaf ill. [0 to 1]
    tolerated : severity that costs nothing, below 1. [0 to 1]

    Source: squared, as tomato yield falls with the squared area under the curve of Septoria
    (Ferrandino and Elmer 1992, abstract read); that other diseases do the same is judgement.
    Holds for: crops picked over weeks; a crop whose leaf is eaten loses more.
    """

    worst: float
    tolerated: float = 0.0

    def lost(self, severity: ArrayLike) -> FloatArray:
        """Share of the yield lost at a severity, any shape. [0 to 1]"""
        over = np.clip(np.asarray(severity, dtype=np.float64) - self.tolerated, 0.0, None)
        return np.asarray(np.minimum(self.worst * (over / (1.0 - self.tolerated)) ** 2, 1.0))
