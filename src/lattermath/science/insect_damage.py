"""What insects cost a crop, from how many fed for how long."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def insect_days(counts: ArrayLike) -> FloatArray:
    """Insect-days summed from daily counts, by the trapezium rule along the last axis."""
    series = np.asarray(counts, dtype=np.float64)
    return np.asarray(((series[..., 1:] + series[..., :-1]) / 2).sum(-1))


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
    days, each = (np.asarray(a, dtype=np.float64) for a in (fed, days_for_5_percent))
    if np.any(days < 0) or np.any(each <= 0):
        raise ValueError("insect-days must not be negative")
    return np.asarray(-np.expm1(np.log(0.95) * days / each))


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
