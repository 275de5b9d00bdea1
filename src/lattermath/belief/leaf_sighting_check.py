"""Whether a severity is one that the belief before it would have given."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_disease_sightings import (
    LEVELS,
    LeafSeen,
    log_likelihood,
    said_law,
    true_severity,
)
from lattermath.belief.sighting_check import Check, may_be_at_odds, nine_in_ten, normalized

FloatArray = NDArray[np.float64]

PERCENT = (0.0, 0.1, 0.5, 1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 95)


def leaf_checked(one: LeafSeen, severity: FloatArray, weights: FloatArray) -> Check | None:
    """A severity against draws that have not learnt it; None for a bare 'seen'.

    severity : by draw, planting, day and surface, as in `log_likelihood`. [0 to 1]
    weights  : of the draws, summing to 1, (n_draws,).

    `low` and `high` of the answer are in per cent of the leaf.
    """
    true = true_severity(severity, one)
    found, middle, sd = said_law(true, one.leaves)

    def below(share: float) -> float:
        """Chance that less than that share of the leaf would be said."""
        if not 0 < share < 1:
            return float(share >= 1)
        under = special.ndtr((special.logit(share) - middle) / sd)
        return float(weights @ (1 - found + found * under))

    low, high = nine_in_ten(lambda percent: below(percent / 100), PERCENT)
    if one.level == "none" or one.percent == 0:
        none = float(weights @ (1 - found))
        return Check(none, False, low, high)
    if one.percent is not None:
        under = up_to = below(one.percent / 100)
    elif one.level is not None:
        under, up_to = (below(end) for end in LEVELS[one.level])
    else:
        return None
    return Check.of(under, up_to, low, high)


def leaf_worth_checking(one: LeafSeen, severity: FloatArray) -> bool:
    """Whether it may be at odds, by draws that have learnt it, weighed as if they had not."""
    weights = normalized(-log_likelihood(severity, one))
    return may_be_at_odds(leaf_checked(one, severity, weights), weights)
