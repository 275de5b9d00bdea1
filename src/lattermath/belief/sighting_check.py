"""Whether a sighting is one that the belief before it would have given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.coming_look import MOST_OF_CLASS
from lattermath.belief.count_likelihood import LEAF_LEVELS, SHAKE_LEVELS, at_most

FloatArray = NDArray[np.float64]

FEW, MAY_BE_AT_ODDS = 0.3, 0.15  # judgement: a net wide enough, since it costs time only
AT_ODDS = 0.05  # judgement: one new look in twenty is said to disagree where all is well


@dataclass(frozen=True, slots=True)
class Check:
    """One sighting beside what was expected of it.

    tail      : chance of a sighting at least as far off on either side, ties counted half. [0 to 1]
    more      : it was more than expected.
    low, high : totals between which nine in ten such looks would have been.
    """

    tail: float
    more: bool
    low: float
    high: float

    @property
    def at_odds(self) -> bool:
        """Whether belief and sighting disagree."""
        return self.tail < AT_ODDS


def checked(seen: Seen, expected: FloatArray, weights: FloatArray) -> Check | None:
    """A sighting against the prediction of draws that have not learnt it; None for a bare 'seen'.

    expected : insects that would be seen, (n_draws,).
    weights  : of the draws, summing to 1, (n_draws,).

    The chances are those of the observation model, summed over the draws; nothing is thrown.
    """
    bounds = _bounds(seen)
    if bounds is None:
        return None
    least, most = bounds

    def below(total: float) -> float:
        if total < 0:
            return 0.0
        return float(weights @ at_most(expected, min(total, 1e12), seen.leaves, seen.spread))

    under, up_to = below(least - 1), below(most)
    middle = under + (up_to - under) / 2
    low, high = (_quantile(below, share) for share in (0.05, 0.95))
    return Check(min(2 * min(middle, 1 - middle), 1.0), middle > 0.5, low, high)


def worth_checking(seen: Seen, expected: FloatArray) -> bool:
    """Whether a sighting that the draws have learnt may be at odds with what was before it.

    expected : insects that would be seen, by draws conditioned on this sighting too, (n_draws,).

    The draws are weighed as if they had not learnt it (importance weights, one over its
    likelihood). Where few of them count then, the weights say nothing and it is worth checking.
    """
    log = -seen.of_expected(expected)
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    check = checked(seen, expected, weights)
    few = 1 / (weights**2).sum() < FEW * len(weights)
    return check is not None and bool(few or check.tail < MAY_BE_AT_ODDS)


def _bounds(seen: Seen) -> tuple[float, float] | None:
    """Totals that the sighting stands for, first and last."""
    if seen.total is not None:
        return seen.total, seen.total
    if seen.level is None:
        return None
    bounds = SHAKE_LEVELS if seen.measure == "shake" else LEAF_LEVELS
    names = [*bounds, "heavy"]
    place = names.index(seen.level)
    least = 0.0 if place == 0 else bounds[names[place - 1]] * seen.leaves + 1
    return least, np.inf if seen.level == "heavy" else bounds[seen.level] * seen.leaves


def _quantile(below: Callable[[float], float], share: float) -> float:
    """The smallest total of the classes up to which so large a share lies."""
    return float(next((m for m in MOST_OF_CLASS if below(m) >= share), MOST_OF_CLASS[-1]))
