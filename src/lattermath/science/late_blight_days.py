"""Days that favour late blight: Smith periods and the Hutton criteria."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
SmithWord = Literal["full", "half", "near-miss", "none", "unknown"]
HuttonWord = Literal["met", "none", "unknown"]
Word = TypeVar("Word", SmithWord, HuttonWord)

NIGHT_FROM_C = 10.0  # Smith 1956 and Hutton 2017 alike, pages read
SMITH_HOURS, NEAR_HOURS = 11.0, 10.0  # read on the page of a national warning service
HUTTON_HOURS = 6.0  # summary of the project of 2014 to 2017, read


def smith_days(
    t_min: ArrayLike,
    humid_hours: ArrayLike,
    most_h: ArrayLike | None = None,
    ten_then_eleven: bool = False,
) -> list[SmithWord]:
    """What ends on each day: a full Smith period, half of one, a near miss, none, or unknown.

    t_min           : minimum of each day, NaN unknown. [C]
    humid_hours     : hours of each day at 90 % humidity and above, NaN unknown. [h]
    most_h          : the most they can have been where some hours are unknown; as `humid_hours`
        where left out. [h]
    ten_then_eleven : take a variant in circulation that asks 10 hours of the first day of two.

    Full: two days in a row with a minimum of 10 C or more and 11 hours or more each. Near miss:
    the same minima, but only 10 hours on one or both. Half: one such day alone. The day before the
    first given counts as no such day. A day is unknown only where what is missing decides.

    Source: Smith 1956, page of a national warning service, read.
    Holds for: weather outside the crop; says nothing of inoculum or of covers.
    """
    levels = _levels(t_min, humid_hours, most_h, (NEAR_HOURS, SMITH_HOURS))
    needed = 1 if ten_then_eleven else 2

    def word(before: int, today: int) -> SmithWord:
        if today == 2 and before >= needed:
            return "full"
        if today >= 1 and before >= 1:
            return "near-miss"
        return "half" if today == 2 else "none"

    return [_one({word(*pair) for pair in product(*days)}) for days in _pairs(levels)]


def hutton_days(
    t_min: ArrayLike, humid_hours: ArrayLike, most_h: ArrayLike | None = None
) -> list[HuttonWord]:
    """Whether the Hutton criteria are met on each day: met, none, or unknown.

    t_min       : minimum of each day, NaN unknown. [C]
    humid_hours : hours of each day at 90 % humidity and above, NaN unknown. [h]
    most_h      : the most they can have been where some hours are unknown. [h]

    Met: this day and the day before have a minimum of 10 C or more and 6 such hours or more each.
    The day before the first given counts as no such day.

    Source: Hutton criteria, project summary of 2017, read.
    Holds for: weather outside the crop; says nothing of inoculum or of covers.
    """
    levels = _levels(t_min, humid_hours, most_h, (HUTTON_HOURS,))

    def word(before: int, today: int) -> HuttonWord:
        return "met" if before and today else "none"

    return [_one({word(*pair) for pair in product(*days)}) for days in _pairs(levels)]


def _one(words: set[Word]) -> Word | Literal["unknown"]:
    return words.pop() if len(words) == 1 else "unknown"


def _pairs(levels: list[set[int]]) -> Iterable[tuple[set[int], set[int]]]:
    """Each day with the day before it."""
    return zip([{0}, *levels[:-1]], levels, strict=True)


def _levels(
    t_min: ArrayLike, humid_hours: ArrayLike, most_h: ArrayLike | None, steps: tuple[float, ...]
) -> list[set[int]]:
    """How many of the steps each day may have reached; 0 alone where the night was too cold."""
    cold = np.asarray(t_min, dtype=np.float64)
    least = np.asarray(humid_hours, dtype=np.float64)
    most = least if most_h is None else np.asarray(most_h, dtype=np.float64)
    if not cold.shape == least.shape == most.shape:
        raise ValueError("minima and humid hours must have as many days")
    if np.any(least < 0) or np.any(most > 24) or np.any(most < least):
        raise ValueError("humid hours of a day lie between 0 and 24, the most not below the least")
    fewest, at_most = np.nan_to_num(least, nan=0.0), np.nan_to_num(most, nan=24.0)
    return [
        _reachable(float(night), float(low), float(high), steps)
        for night, low, high in zip(cold, fewest, at_most, strict=True)
    ]


def _reachable(night: float, least: float, most: float, steps: tuple[float, ...]) -> set[int]:
    if night < NIGHT_FROM_C:
        return {0}
    reached = set(range(sum(least >= s for s in steps), sum(most >= s for s in steps) + 1))
    return reached | {0} if np.isnan(night) else reached
