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
    return _of_twentieths(immature_days_per_cm2, days_for_5_percent)


def spoiled_share(fed: ArrayLike, days_for_5_percent: ArrayLike) -> FloatArray:
    """Share of what is picked that is soiled, or to be thrown away. [0 to 1]

    fed                : feeding days on a square centimetre of leaf while the produce was on the
                         plant. [d/cm2]
    days_for_5_percent : those at which a twentieth is soiled; broadcast to `fed`. [d/cm2]

        spoiled = 1 - 0.95 ** (days / days_for_5_percent)

    What falls at random on the pieces leaves untouched the share that nothing fell on, which falls
    exponentially: near 0 it is straight, as Johnson et al. 1992 have mould, and never above all.
    Holds for: honeydew, soot, holes and scars that fall on pieces alike; where insects sit in
    clumps, fewer pieces are soiled, and those worse.
    """
    return _of_twentieths(fed, days_for_5_percent)


def lately(fed: ArrayLike, days: int) -> FloatArray:
    """Sum of the last `days` days of each day, itself the last, along the last axis.

    fed  : feeding days on a square centimetre of leaf, the earliest day first; none was before
           it. [d/cm2]
    days : how many days. [d]
    """
    if days < 1:
        raise ValueError("a sum over no day")
    total = np.cumsum(np.asarray(fed, dtype=np.float64), axis=-1)
    before = np.zeros_like(total)
    before[..., days:] = total[..., :-days]
    return np.asarray(total - before)


def _of_twentieths(insect_days: ArrayLike, for_a_twentieth: ArrayLike) -> FloatArray:
    days, each = (np.asarray(a, dtype=np.float64) for a in (insect_days, for_a_twentieth))
    if np.any(days < 0) or np.any(each <= 0):
        raise ValueError("insect-days must not be negative")
    return np.asarray(-np.expm1(np.log(0.95) * days / each))
