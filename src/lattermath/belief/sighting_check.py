"""Whether a sighting is one that the belief before it would have given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.coming_look import MOST_OF_CLASS
from lattermath.vocabulary.class_ends import LEAF_LEVELS, SHAKE_LEVELS

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

    @classmethod
    def of(cls, under: float, up_to: float, low: float, high: float) -> Check:
        """From the chances of less than what was seen, and of that or less."""
        middle = under + (up_to - under) / 2
        return cls(min(2 * min(middle, 1 - middle), 1.0), middle > 0.5, low, high)

    @property
    def at_odds(self) -> bool:
        """Whether belief and sighting disagree."""
        return self.tail < AT_ODDS


def checked(
    seen: Seen,
    expected: FloatArray,
    weights: FloatArray,
    *,
    first: bool = False,
    elsewhere: Sequence[float] = (),
) -> Check | None:
    """A sighting against the prediction of draws that have not learnt it.

    expected  : insects that would be seen, (n_draws,).
    weights   : of the draws, summing to 1, (n_draws,).
    first     : nothing was looked for before it. Who has found nothing writes nothing, so that a
                first find is held against finds only.
    elsewhere : for a bare "seen", the chance to see any on each other planting. [0 to 1]

    The chances are those of the observation model, summed over the draws; nothing is thrown. Of
    looks that found nothing a bare "seen" says nothing: see `rare_find`. None where the prediction
    holds no such find at all, which is a prediction that cannot be checked.
    """

    def below(total: float) -> float:
        if total < 0:
            return 0.0
        return float(weights @ seen.up_to(expected, min(total, 1e12)))

    bounds = bounds_of(seen)
    if bounds is None:
        chance = rare_find(1 - below(0), elsewhere)
        return Check(chance, True, *nine_in_ten(below, MOST_OF_CLASS))
    least, most = bounds
    none = below(0) if first and least > 0 else 0.0
    if none >= 1.0:
        return None

    def found(total: float) -> float:
        return max(below(total) - none, 0.0) / (1 - none)

    return Check.of(found(least - 1), found(most), *nine_in_ten(found, MOST_OF_CLASS))


def rare_find(here: float, elsewhere: Sequence[float]) -> float:
    """Chance that any is seen on a planting where it was as unlikely as it was here.

    Only finds are written down, and of the unlikely places one will show some sooner or later:
    with so many, it is the chance over all of them that says whether a find was to be expected.
    """
    as_rare = [here, *(one for one in elsewhere if one <= here)]
    return float(1 - np.prod(1 - np.array(as_rare)))


def worth_checking(seen: Seen, expected: FloatArray, *, first: bool = False) -> bool:
    """Whether a sighting that the draws have learnt may be at odds with what was before it.

    expected : insects that would be seen, by draws conditioned on this sighting too, (n_draws,).

    The draws are weighed as if they had not learnt it.
    """
    weights = normalized(-seen.of_expected(expected))
    return may_be_at_odds(checked(seen, expected, weights, first=first), weights)


def may_be_at_odds(check: Check | None, weights: FloatArray) -> bool:
    """Whether a check by draws weighed as if they had not learnt a sighting asks for a true one.

    Their weights are one over its likelihood (importance weights). Where few of them count then,
    the weights say nothing and it is worth checking.
    """
    return few_count(weights) or (check is not None and check.tail < MAY_BE_AT_ODDS)


def few_count(weights: FloatArray) -> bool:
    """Whether so few of the draws carry the weight that a prediction by them says little."""
    return bool(1 / (weights**2).sum() < FEW * len(weights))


def normalized(log: FloatArray) -> FloatArray:
    """Weights that sum to 1, from their logarithms up to a constant."""
    weights = np.exp(log - log.max())
    return np.asarray(weights / weights.sum())


def bounds_of(seen: Seen) -> tuple[float, float] | None:
    """Totals that the sighting stands for, first and last; None for a bare "seen"."""
    if seen.total is not None:
        return seen.total, seen.total
    if seen.level is None:
        return None
    bounds = SHAKE_LEVELS if seen.measure == "shake" else LEAF_LEVELS
    names = [*bounds, "heavy"]
    place = names.index(seen.level)
    least = 0.0 if place == 0 else bounds[names[place - 1]] * seen.leaves + 1
    return least, np.inf if seen.level == "heavy" else bounds[seen.level] * seen.leaves


def nine_in_ten(below: Callable[[float], float], grid: Sequence[float]) -> tuple[float, float]:
    """The smallest numbers of a grid up to which 5 and 95 in 100 lie; its last where none is.

    below : share up to a number.
    """
    low, high = (next((m for m in grid if below(m) >= s), grid[-1]) for s in (0.05, 0.95))
    return float(low), float(high)
