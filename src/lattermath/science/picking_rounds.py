"""What picking as often as it is really done leaves of a crop whose fruit passes size."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

DrawDays = NDArray[np.float64]  # (n_draws, n_days)
NEVER = 10_000  # a day past every season


def eaten_share(
    fruiting: NDArray[np.bool_],
    picks: Collection[int],
    cleared: Collection[int],
    hangs_days: float,
    slows: float,
    last_pick: int | None = None,
) -> DrawDays:
    """Share of each day's crop that is eaten, 0 to 1, (n_draws, n_days).

    fruiting   : is fruit growing to size on that day, (n_draws, n_days).
    picks      : days of the run on which fruit is picked and eaten.
    cleared    : days on which a bar stands, so that what passes size is taken off and not eaten.
    hangs_days : how long fruit at size stays fit to eat on the plant. [d]
    slows      : share of bearing that a plant loses while fruit past size hangs on it. [0 to 1]
    last_pick  : day of the last picking before the run, 0 or below; None: taken as day 0.

    Fruit that grows to size on day t is had by the first picking after t if that comes within
    `hangs_days`, else it is lost. A planting that nobody stripped for longer than that bears less
    until somebody does. Fruit of before the run counts from `last_pick`.
    Holds for: crops picked over, at the picking rounds their yields were measured with or slower.
    Source: common practice that a fruit left past size slows the plant; the form is ours.
    """
    if hangs_days <= 0 or not 0 <= slows <= 1:
        raise ValueError("fruit hangs for some days, and slows a plant by a share of 0 to 1")
    n_days = fruiting.shape[1]
    day = np.arange(n_days)
    waits = _next_after(day, picks) - day
    stripped = _last_until(day, {*picks, *cleared}, min(last_pick or 0, 0))
    first = np.where(fruiting.any(axis=1), fruiting.argmax(axis=1), NEVER)
    hanging_since = np.maximum(stripped[None, :], first[:, None])
    if last_pick is not None:  # fruit may hang already when the run begins
        hanging_since = np.where(first[:, None] == 0, stripped[None, :], hanging_since)
    slowed = np.where(day[None, :] - hanging_since > hangs_days, 1.0 - slows, 1.0)
    return np.asarray(np.where(waits <= hangs_days, slowed, 0.0))


def _next_after(day: NDArray[np.intp], among: Collection[int]) -> NDArray[np.intp]:
    """The first of `among` after each day; NEVER where there is none."""
    known = np.array([*sorted(among), NEVER], dtype=np.intp)
    return np.asarray(known[np.searchsorted(known[:-1], day, side="right")])


def _last_until(day: NDArray[np.intp], among: Collection[int], start: int) -> NDArray[np.intp]:
    """The last of `among` on or before each day; `start` before the first."""
    known = np.array([start, *sorted(k for k in among if k >= 0)], dtype=np.intp)
    return np.asarray(known[np.searchsorted(known[1:], day, side="right")])
