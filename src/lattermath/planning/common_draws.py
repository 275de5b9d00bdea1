"""The draws that a search looks at, evenly taken from all, the same for every course."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_unknowns import Unknowns
from lattermath.belief.clusters import ClusterBelief
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


def thinned(belief: ClusterBelief) -> ClusterBelief:
    """The cluster with the draws that are searched only."""
    some = searched(belief.n_draws)
    own, setting = belief.unknowns, belief.setting
    unknowns = Unknowns(
        own.level[some],
        own.settled[some],
        own.arrivals[some],
        own.field[some],
        own.detection[some],
        {method: quantile[some] for method, quantile in own.quantiles.items()},
    )
    return replace(
        belief,
        cycle=cycle_of(belief.cycle, some),
        setting=replace(setting_of(setting, some), room=setting.room),
        state=belief.state[some],
        past=belief.past[some],
        coming=belief.coming[some],
        unknowns=unknowns,
    )
