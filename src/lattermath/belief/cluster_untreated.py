"""What insects would have done by themselves, had a treatment not been done, in every draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_runs import enters, run_from_start
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.level_drift import LEAST_NUMBER
from lattermath.belief.treatment_kills import Application

FloatArray = NDArray[np.float64]


def grown_without(
    belief: ClusterBelief, gone: Application, place: int, stages: Sequence[int], days: range
) -> FloatArray:
    """Insects at the end of some days beside those at their start, without a treatment.

    gone   : a treatment of `belief.applied`.
    place  : of the planting.
    stages : the stages that are counted.
    days   : from the day of one look to that of another, days of the belief.

    (n_draws,), of draws that had any at the start. Start, weather, arrivals, every other treatment
    and how far the planting wandered stay as they are believed: the even course is run with the
    treatment and without it, and what is believed is moved by as much as that moves.
    """
    then, there = (belief.past[:, place, day][:, stages].sum(-1) for day in (days[0], days[-1]))
    others = replace(belief, applied=tuple(one for one in belief.applied if one is not gone))
    with_it, left = (_even(one, days[-1])[:, place][:, stages].sum(-1) for one in (belief, others))
    any_then = then > LEAST_NUMBER
    grown = there / np.maximum(then, LEAST_NUMBER) * left / np.maximum(with_it, LEAST_NUMBER)
    return np.asarray(grown[any_then], dtype=np.float64)


def _even(belief: ClusterBelief, day: int) -> FloatArray:
    """The even course on the morning of a day, (n_draws, n_plantings, n_stages)."""
    assert belief.brought is not None
    run = run_from_start(
        belief.cycle,
        belief.setting,
        belief.brought,
        enters(belief.stands, belief.first_day),
        belief.kills(),
        day,
    )
    return np.asarray(run.sums[:, :, -1], dtype=np.float64)
