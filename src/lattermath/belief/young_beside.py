"""Young plants put in beside a cluster: the same insects, and one clean host more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand, settling, settling_when_shaken
from lattermath.belief.cluster_runs import on_living_hosts, setting_of, standing_in
from lattermath.belief.cluster_unknowns import Unknowns
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.life_history import LONE_FLIGHT
from lattermath.science.stage_cohorts import Setting

FloatArray = NDArray[np.float64]


def with_young(belief: ClusterBelief, young: Stand) -> ClusterBelief:
    """The cluster with one planting more, clean, from the day on which it is begun.

    young : its `started` counts as those of the other stands do.

    It is as good a host as its crop is in the middle, and as many fly to its plants from outside
    as to the usual plant of the others. What covers and films change for the others stays.
    """
    stands = (*belief.stands, young)
    unknowns = _unknowns(belief, young)
    settle = settling(stands, LONE_FLIGHT * belief.life.figures.flight_m)
    bare = settling(belief.stands, LONE_FLIGHT * belief.life.figures.flight_m)
    kept = np.where(bare > 0, belief.setting.settle / np.maximum(bare, 1e-12), 1.0)
    settle[:-1, :-1] *= kept
    n_days = belief.cycle.n_days
    new = setting_of(
        stands, unknowns, settle, belief.life, belief.first_day, n_days, belief.cycle, belief.season
    )
    standing = np.concatenate([belief.standing, standing_in((young,), belief.coldest)], axis=2)
    new, old = on_living_hosts(new, standing), belief.setting
    setting = Setting(
        _beside(old.host, new.host),
        _beside(old.arrivals, new.arrivals),
        settle,
        np.pad(old.shaken, ((0, 0), (0, 1))),  # nobody works on the new one
        settling_when_shaken(settle, belief.life.figures.to_neighbour),
        np.append(old.room, young.room) if old.room.size else old.room,
    )
    return replace(
        belief,
        stands=stands,
        setting=setting,
        unknowns=unknowns,
        settle=settle,
        state=_one_more(belief.state, 0.0),
        past=_one_more(belief.past, 0.0),
        coming=_one_more(belief.coming, 1.0, axis=2),
        standing=standing,
    )


def _unknowns(belief: ClusterBelief, young: Stand) -> Unknowns:
    """What is not known, with the young planting in the middle of it."""
    own = belief.unknowns
    plants = np.array([max(stand.plants, 1) for stand in belief.stands])
    arrivals = np.median(own.arrivals / plants, axis=1) * young.plants
    return replace(
        own,
        suits=_column(own.suits, np.full(belief.n_draws, young.laying)),
        level=_column(own.level, np.zeros(belief.n_draws)),
        settled=_column(own.settled, np.zeros(belief.n_draws)),
        arrivals=_column(own.arrivals, arrivals),
    )


def _column(rows: FloatArray, last: FloatArray) -> FloatArray:
    return np.concatenate([rows, last[:, None]], axis=1)


def _beside(old: NDArray[np.float32], new: NDArray[np.float32]) -> NDArray[np.float32]:
    """The old plantings' columns with the new one's, (n_draws, n_days, n_plantings)."""
    n_draws = max(len(old), len(new))
    held = np.broadcast_to(old, (n_draws, *old.shape[1:]))
    more = np.broadcast_to(new[:, :, -1:], (n_draws, *new.shape[1:-1], 1))
    return np.concatenate([held, more], axis=2).astype(np.float32)


def _one_more(rows: NDArray[Any], value: float, axis: int = 1) -> NDArray[Any]:
    shape: Sequence[int] = [*rows.shape[:axis], 1, *rows.shape[axis + 1 :]]
    return np.concatenate([rows, np.full(shape, value, dtype=rows.dtype)], axis=axis)
