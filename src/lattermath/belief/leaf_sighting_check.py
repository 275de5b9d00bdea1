"""Whether a severity is one that the belief before it would have given."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_disease_sightings import (
    LeafSeen,
    log_likelihood,
    said_law,
    true_severity,
)
from lattermath.belief.sighting_check import (
    Check,
    may_be_at_odds,
    nine_in_ten,
    normalized,
    rare_find,
)
from lattermath.vocabulary.class_ends import SEVERITY_LEVELS

FloatArray = NDArray[np.float64]

PERCENT = (0.0, 0.1, 0.5, 1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 95)
LEAST_CHANCE = 1e-12


def leaf_checked(
    one: LeafSeen, severity: FloatArray, weights: FloatArray, *, first: bool = False
) -> Check:
    """A severity against draws that have not learnt it.

    severity : by draw, planting, day and surface, as in `log_likelihood`. [0 to 1]
    weights  : of the draws, summing to 1, (n_draws,).
    first    : nothing was seen before it; a first find is held against finds only, as for insects.

    `low` and `high` of the answer are in per cent of the leaf. A bare "seen" is held against the
    chance to see it on any planting where it was as unlikely (`rare_find`).
    """
    found, middle, sd = said_law(true_severity(severity, one), one.leaves)

    def below(share: float) -> float:
        """Chance that less than that share of the leaf would be said."""
        if not 0 < share < 1:
            return float(share >= 1)
        under = special.ndtr((special.logit(share) - middle) / sd)
        return float(weights @ (1 - found + found * under))

    none = float(weights @ (1 - found))
    if one.found_none:
        return Check(none, False, *nine_in_ten(lambda percent: below(percent / 100), PERCENT))
    if one.percent is None and one.level is None:
        return _bare(one, severity, weights)
    apart = none if first else 0.0

    def of_finds(share: float) -> float:
        return max(below(share) - apart, 0.0) / max(1 - apart, LEAST_CHANCE)

    low, high = nine_in_ten(lambda percent: of_finds(percent / 100), PERCENT)
    if one.percent is not None:
        under = up_to = of_finds(one.percent / 100)
    else:
        under, up_to = (of_finds(end) for end in SEVERITY_LEVELS[one.level or "none"])
    return Check.of(under, up_to, low, high)


def _bare(one: LeafSeen, severity: FloatArray, weights: FloatArray) -> Check:
    """A bare "seen"."""
    chances = []
    for place in range(severity.shape[1]):
        true = true_severity(severity, replace(one, place=place))
        chances.append(float(weights @ said_law(true, one.leaves)[0]))
    here = chances.pop(one.place)
    return Check(rare_find(here, chances), True, 0.0, 0.0)


def leaf_worth_checking(one: LeafSeen, severity: FloatArray, *, first: bool = False) -> bool:
    """Whether it may be at odds, by draws that have learnt it, weighed as if they had not."""
    weights = normalized(-log_likelihood(severity, one))
    return may_be_at_odds(leaf_checked(one, severity, weights, first=first), weights)
