"""Whether a worn plant can be nursed back, how long it takes, and what it is worth meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Draws = NDArray[np.float64]  # (n_draws,)
DrawDays = NDArray[np.float64]  # (n_draws, n_days)

DAYS_LOW, DAYS_LIKELY, DAYS_HIGH = 10.0, 14.0, 18.0  # trade fact: about two weeks


@dataclass(frozen=True, slots=True)
class Condition:
    """A state of health. All figures are judgement; the trade gives only that none is certain."""

    bears: float  # share of a sound plant's yield
    chance: float  # of nursing it back; always below 1
    comes_back_to: float  # share of a sound plant's yield once nursed back
    declines: float  # share of what it bears that is lost each day it is left


CONDITIONS = {
    "sound": Condition(bears=1.0, chance=0.95, comes_back_to=1.0, declines=0.0),
    "tired": Condition(bears=0.75, chance=0.80, comes_back_to=0.95, declines=0.005),
    "worn": Condition(bears=0.40, chance=0.55, comes_back_to=0.80, declines=0.02),
    "failing": Condition(bears=0.15, chance=0.20, comes_back_to=0.60, declines=0.06),
}


@dataclass(frozen=True, slots=True, eq=False)
class Conditions:
    """A state of health that is not known for certain: one in each draw, all (n_draws,)."""

    bears: Draws
    chance: Draws
    comes_back_to: Draws
    declines: Draws

    @classmethod
    def of(cls, words: Sequence[str]) -> Conditions:
        """The conditions of some words, one a draw."""
        rows = [CONDITIONS[word] for word in words]
        return cls(
            np.array([row.bears for row in rows]),
            np.array([row.chance for row in rows]),
            np.array([row.comes_back_to for row in rows]),
            np.array([row.declines for row in rows]),
        )


def recovery_days(uniform: Draws) -> Draws:
    """Days of care until a plant that recovers has recovered, one for each draw. [d]

    uniform : numbers drawn evenly from 0 to 1, (n_draws,).

    Triangular from 10 to 18 with its peak at 14. Source: trade fact (about two weeks).
    """
    low, likely, high = DAYS_LOW, DAYS_LIKELY, DAYS_HIGH
    rises = low + np.sqrt(uniform * (high - low) * (likely - low))
    falls = high - np.sqrt((1 - uniform) * (high - low) * (high - likely))
    return np.where(uniform < (likely - low) / (high - low), rises, falls)


def bearing_if_left(condition: Condition | Conditions, n_days: int) -> NDArray[np.float64]:
    """Share of a sound plant's yield on each coming day when nothing is done.

    (n_days,) for one condition, (n_draws, n_days) where each draw has its own.
    """
    bears, declines = np.asarray(condition.bears), np.asarray(condition.declines)
    paces, which = np.unique(declines, return_inverse=True)  # few conditions, many draws
    left = (1.0 - paces[:, None]) ** np.arange(n_days, dtype=float)
    return np.asarray(bears[..., None] * left[which.reshape(declines.shape)])


def bearing_if_nursed(
    condition: Condition | Conditions, n_days: int, luck: Draws, days: Draws, begins: int = 0
) -> DrawDays:
    """Share of a sound plant's yield on each coming day under care, (n_draws, n_days).

    luck   : numbers drawn evenly from 0 to 1; the plant comes back where luck < chance.
    days   : days the care takes in each draw. [d]
    begins : first day of care, counted from the first day of the result.

    A plant that comes back climbs in a straight line; one that does not goes on declining.
    """
    left = bearing_if_left(condition, n_days)
    since = np.arange(n_days, dtype=float) - begins
    climbed = np.clip(since[None, :] / days[:, None], 0.0, 1.0)
    at_start = left[..., min(begins, n_days - 1), None]
    nursed = at_start + climbed * (np.asarray(condition.comes_back_to)[..., None] - at_start)
    back = (luck < condition.chance)[:, None] & (since >= 0)[None, :]
    return np.where(back, np.maximum(nursed, left), left)
