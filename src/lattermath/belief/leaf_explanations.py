"""What could explain a severity that disagrees: the same belief with one thing changed at a time.

As for insects (`explanations`): each explanation is a prediction of its own, and what was said has
a probability under each. Weights beforehand are judgement.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_disease_sightings import LeafSeen, likelihood_of, true_severity
from lattermath.belief.sighting_check import normalized
from lattermath.belief.slips import leaf_slip_log_likelihood

FloatArray = NDArray[np.float64]

# How usual each is beforehand, beside chance alone; judgement.
USUAL = {
    "chance": 1.0,
    "spray failed": 1.0,
    "suited more": 1.0,
    "suited less": 0.7,
    "leaves off": 0.5,
    "misjudged": 0.5,
    "another disease": 0.3,
    "slip": 0.03,
    "here longer": 1.0,
}
# Judgement, each equally likely within its explanation: what moves the logit of the severity.
MOVES = {
    "suited more": (0.7, 1.4),
    "suited less": (-0.7, -1.4),
    "leaves off": (-1.0, -2.0),
    "here longer": (1.0, 2.0, 3.0),
}
OF_A_FIRST = ("here longer",)
MISJUDGED_SD = 1.0  # judgement: of a severity gone wrong, logit
NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(21)
LOG_WEIGHTS = np.log(_WEIGHTS / _WEIGHTS.sum())


def leaf_explained(
    one: LeafSeen,
    believed: FloatArray,
    unsprayed: FloatArray | None = None,
    stranger: FloatArray | None = None,
    *,
    first: bool = False,
) -> list[tuple[str, float]]:
    """Every explanation that can be so with its share among those weighed, the likeliest first.

    believed  : severity as believed without this sighting, by draw, planting, day and surface.
    unsprayed : the same had the newest sprays done nothing; None where nothing was sprayed.
    stranger  : what a disease of which nothing was seen might be there; None where not asked.
    first     : nothing was seen before it: that it came earlier takes the place of weather.
    """
    true = true_severity(believed, one)
    logs = {"chance": _fit(one, true, (0.0,))}
    for key, moves in MOVES.items():
        if first is (key in OF_A_FIRST):
            logs[key] = _fit(one, true, moves)
    away = special.logit(true)[:, None] + MISJUDGED_SD * NODES
    told = likelihood_of(special.expit(away), one) + LOG_WEIGHTS
    logs["slip"] = leaf_slip_log_likelihood(one)
    logs["misjudged"] = _mean(np.logaddexp.reduce(told, axis=1))
    if unsprayed is not None:
        logs["spray failed"] = _fit(one, true_severity(unsprayed, one), (0.0,))
    if (
        stranger is not None and not one.found_none
    ):  # where nothing is seen, nothing is of another kind
        logs["another disease"] = _fit(one, true_severity(stranger, one), (0.0,))
    weighed = np.array([np.log(USUAL[key]) + log for key, log in logs.items()])
    ranked = zip(logs, normalized(weighed).tolist(), strict=True)
    return sorted(ranked, key=lambda found: -found[1])


def _fit(one: LeafSeen, true: FloatArray, moves: Sequence[float]) -> float:
    """Log-probability of what was said, moves and draws weighing alike."""
    logit = special.logit(true)
    moved = [likelihood_of(special.expit(logit + move), one) for move in moves]
    return _mean(np.concatenate(moved))


def _mean(log: FloatArray) -> float:
    """Logarithm of the mean."""
    return float(np.logaddexp.reduce(log) - np.log(len(log)))
