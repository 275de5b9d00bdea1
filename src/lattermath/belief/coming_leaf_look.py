"""What a look at leaves that is not yet taken may say of a disease, with its chances by draw."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_disease_sightings import LEAF_ILL_AT, said_law

FloatArray = NDArray[np.float64]

# Severities told apart [%]: none, then classes that reach to the number given, the last is above.
UP_TO = (0.3, 1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, 50.0)
SURE = 0.95  # nineteen in twenty


def leaf_look_chances(severity: FloatArray, leaves: int) -> FloatArray:
    """Of each outcome in each draw, rows sum to 1, (n_draws, 2 + len(UP_TO)).

    severity : of the leaves looked at, in each draw, (n_draws,). [0 to 1]

    The first outcome is that none of so many leaves shows it; then the severity said falls into a
    class, by the same law of what is said as belief uses.
    """
    true = np.clip(np.asarray(severity, dtype=np.float64), 1e-7, 1 - 1e-7)
    found, middle, sd = said_law(true, leaves)
    edges = special.logit(np.array(UP_TO) / 100)
    below = special.ndtr((edges - middle[:, None]) / sd[:, None])
    ends = np.zeros((len(true), 1)), np.ones((len(true), 1))
    classes = np.diff(np.concatenate([ends[0], below, ends[1]], axis=1), axis=1)
    return np.concatenate([1 - found[:, None], found[:, None] * classes], axis=1)


def found_from(leaves: int) -> float:
    """Severity from which so many leaves show it in nineteen looks of twenty. [%]"""
    return float(-100 * np.log(1 - SURE) * LEAF_ILL_AT / leaves)
