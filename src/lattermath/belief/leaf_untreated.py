"""What a leaf disease would have done by now without a treatment, in every draw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_covers import LeafApplication
from lattermath.belief.leaf_disease import LeafBelief
from lattermath.belief.leaf_drift import LEAST, MOST, moved

FloatArray = NDArray[np.float64]


def without(belief: LeafBelief, gone: LeafApplication) -> FloatArray:
    """Past severities, shaped as `belief.past`, had that treatment not been done. [0 to 1]

    Start, weather, arrivals, every other treatment and how far a planting wandered stay as they
    are believed: the even course is run again without it, and what is believed is moved by as much
    as that moves.
    """
    others = replace(belief, applied=tuple(one for one in belief.applied if one is not gone))
    with_it, left = (_odds(one.even_past()) for one in (belief, others))
    return moved(belief.past, left - with_it)


def less_ill(belief: LeafBelief, untreated: FloatArray, place: int, day: int) -> FloatArray:
    """How much less of the leaf is ill than it would be, in odds, (n_draws,). At most 1.

    untreated : as `without` gives it.
    """
    there, beside = (_odds(one[:, place, day].mean(-1)) for one in (belief.past, untreated))
    return np.asarray(-np.expm1(there - beside))


def _odds(severity: FloatArray) -> FloatArray:
    return np.asarray(special.logit(np.clip(severity, LEAST, MOST)))
