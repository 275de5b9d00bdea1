"""The draws that a search looks at, evenly taken from all, the same for every course."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from lattermath.science.stage_cohorts import Cycle, Setting

Scalar = TypeVar("Scalar", bound=np.generic)

SEARCH_DRAWS = 50  # judgement: draws the search looks at; the best are re-run on all of them


def searched(n_draws: int) -> NDArray[np.int64]:
    """Places of the draws that are searched, (at most 50,)."""
    return np.linspace(0, n_draws - 1, min(SEARCH_DRAWS, n_draws)).astype(np.int64)


def cycle_of(cycle: Cycle, draws: NDArray[np.int64]) -> Cycle:
    """The cycle of some draws."""

    def some(rows: NDArray[Scalar]) -> NDArray[Scalar]:
        return np.ascontiguousarray(rows[draws]) if len(rows) > 1 else rows

    return Cycle(
        cycle.layout,
        some(cycle.pushes),
        some(cycle.entry),
        some(cycle.survival),
        some(cycle.laying),
        some(cycle.flight),
    )


def setting_of(setting: Setting, draws: NDArray[np.int64]) -> Setting:
    """The setting of some draws, without crowding."""
    arrivals = setting.arrivals if len(setting.arrivals) == 1 else setting.arrivals[draws]
    return Setting(setting.host, arrivals, setting.settle, setting.shaken, setting.settle_shaken)
