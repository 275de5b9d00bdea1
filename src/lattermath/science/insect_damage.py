"""What insects cost a crop, from how many fed for how long."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def insect_days(counts: ArrayLike) -> FloatArray:
    """Insect-days summed from daily counts, by the trapezium rule along the last axis."""
    series = np.asarray(counts, dtype=np.float64)
    return np.asarray(((series[..., 1:] + series[..., :-1]) / 2).sum(-1))


def feeding_loss(immature_days_per_cm2: ArrayLike, days_for_5_percent: float) -> FloatArray:
    """Share of the yield lost to sap feeding. [0 to 1]

    immature_days_per_cm2 : immature whitefly-days on a square centimetre of leaf. [d/cm2]
    days_for_5_percent    : immature-days at which one twentieth is lost. [d/cm2]

        loss = 1 - 0.95 ** (days / days_for_5_percent)

    Straight near 0, as published, and never above all of it.
    Source: Johnson et al. 1992 (abstract read): 5 % of grade-A tomatoes lost at 70 immature-days
    a square centimetre, and sooty mould costing 5 % at about 300, which is a curve of its own.
    Holds for: fresh-market tomato and the greenhouse whitefly; other hosts are a stand-in.
    """
    days = np.asarray(immature_days_per_cm2, dtype=np.float64)
    if np.any(days < 0) or days_for_5_percent <= 0:
        raise ValueError("insect-days must not be negative")
    return np.asarray(-np.expm1(np.log(0.95) * days / days_for_5_percent))
