"""The same futures with their frosts some days earlier or later; all else stays as it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lattermath.weather.futures import Futures

FROST_C = 0.0
ABOVE_C = 2.5  # judgement: neither screen nor leaves freeze, which are up to 2 C colder


def with_frost_moved(runs: Futures, days: int) -> Futures:
    """The futures with the first frost of each so many days later; below 0: earlier.

    Earlier: every freezing night also comes so many days before its own. Later: nights from the
    first frost on stay above freezing, at leaves too, for so many days. Today, which is measured,
    stays, and a future without a frost gets none.
    """
    if not days:
        return runs
    low = runs.t_min.copy()
    if days < 0:
        low[:, :days] = np.minimum(low[:, :days], _frosts(low[:, -days:]))
    else:
        freezes = low <= FROST_C
        first = np.where(freezes.any(axis=1), freezes.argmax(axis=1), low.shape[1])
        column = np.arange(low.shape[1])
        put_off = (column >= first[:, None]) & (column < first[:, None] + days)
        low = np.where(put_off, np.maximum(low, ABOVE_C), low)
    low[:, 0] = runs.t_min[:, 0]
    return replace(runs, t_min=low, t_max=np.maximum(runs.t_max, low))


def _frosts(low: np.ndarray) -> np.ndarray:
    """Freezing nights as they are, others so warm that no minimum is theirs."""
    return np.where(low <= FROST_C, low, np.inf)
