"""How likely a count, a shake or a bare 'seen' is, for a given number of insects on the plant."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from lattermath.science.closed_counts import chance_of_any, look_factors
from lattermath.vocabulary.class_ends import LEAF_LEVELS, SHAKE_LEVELS
from lattermath.vocabulary.events import Level

FloatArray = NDArray[np.float64]

# Insects of one mother sit on one leaf, so that few of them sit on very few leaves. What leaves
# differ by beyond chance is a mean^b (Taylor's power law), round figures for all kinds and units
# (decision 0036). By these 5.2 % of the plants hold 0.11 puparia a plant; 5.6 % did in a house of
# tomatoes, and 0.8 % where whitefly had just come (martin1991, abstract; the shares are derived).
CLUMPED, CLUMPED_POWER = 8.0, 1.5
LOOK_SD = 0.4  # judgement: what one look has wrong in common over its leaves, log scale
LEAST_EXPECTED = 1e-4  # one insect on ten thousand leaves; below it nothing is told apart


def clumping(per_leaf: ArrayLike) -> FloatArray:
    """Clumping k of the negative binomial from leaf to leaf, by the mean a leaf, same shape.

    0.04 at an insect on ten leaves, 0.13 at one a leaf, 0.4 at ten.
    """
    mean = np.maximum(np.asarray(per_leaf, dtype=np.float64), LEAST_EXPECTED)
    return np.asarray(mean ** (2.0 - CLUMPED_POWER) / CLUMPED)


def size_of(
    expected: ArrayLike, leaves: float, look_sd: float = LOOK_SD, evenness: float = 1.0
) -> FloatArray:
    """Size parameter of the total over some leaves, with the error of the look itself.

    Totals over n leaves of clumping k have size n k; the look adds its own variance, so many
    leaves never make one look certain. Shape as `expected`.

    expected : insects that would be seen on all these leaves together.
    look_sd  : what one look has wrong in common over its leaves, log scale.
    evenness : clumping k of its leaves beside the law's; see `leaf_evenness`.
    """
    per_leaf = np.asarray(expected, dtype=np.float64) / leaves
    return np.asarray(1.0 / (1.0 / (leaves * evenness * clumping(per_leaf)) + look_sd**2))


def total_log_likelihood(
    expected: ArrayLike,
    total: float,
    leaves: float,
    look_sd: float = LOOK_SD,
    evenness: float = 1.0,
) -> FloatArray:
    """Log-probability of the total counted over some leaves, shape as `expected`.

    expected : insects that would be seen on all these leaves together. A total of 0 counts as
    evidence like any other.
    """
    mean = np.maximum(np.asarray(expected, dtype=np.float64), LEAST_EXPECTED)
    size = size_of(mean, leaves, look_sd, evenness)
    ways = special.gammaln(total + size) - special.gammaln(size) - special.gammaln(total + 1)
    return np.asarray(
        ways + size * np.log(size / (size + mean)) + total * np.log(mean / (size + mean))
    )


def at_most(
    expected: ArrayLike,
    most: float,
    leaves: float,
    look_sd: float = LOOK_SD,
    evenness: float = 1.0,
) -> FloatArray:
    """Probability that the total is at most `most`, shape as `expected`."""
    mean = np.maximum(np.asarray(expected, dtype=np.float64), LEAST_EXPECTED)
    size = size_of(mean, leaves, look_sd, evenness)
    return np.asarray(special.betainc(size, np.floor(most) + 1, size / (size + mean)))


def some_log_likelihood(
    expected: ArrayLike, with_any: float, leaves: float, look_sd: float = LOOK_SD
) -> FloatArray:
    """Log-probability that so many of some leaves have any, shape as `expected`.

    expected : insects that would be seen on all these leaves together.
    look_sd  : what one look has wrong in common over its leaves, log scale.
    """
    some, weights = _any_on_a_leaf(expected, leaves, look_sd)
    none = np.log1p(-some)
    ways = special.gammaln(leaves + 1) - special.gammaln(with_any + 1)
    ways = ways - special.gammaln(leaves - with_any + 1)
    each = ways + with_any * np.log(some) + (leaves - with_any) * none
    return np.asarray(special.logsumexp(each, axis=0, b=weights))


def some_at_most(
    expected: ArrayLike, most: float, leaves: float, look_sd: float = LOOK_SD
) -> FloatArray:
    """Probability that at most `most` of the leaves have any, shape as `expected`."""
    some, weights = _any_on_a_leaf(expected, leaves, look_sd)
    of = round(leaves)  # the binomial is of whole numbers
    return np.asarray((weights * special.bdtr(np.minimum(np.floor(most), of), of, some)).sum(0))


def some_thrown(
    expected: FloatArray, leaves: float, look_sd: float, rng: np.random.Generator
) -> FloatArray:
    """Leaves that might have had any, one throw a draw, shape as `expected`."""
    size = 1.0 / look_sd**2
    mean = np.maximum(expected, LEAST_EXPECTED) / leaves
    some = chance_of_any(mean * rng.gamma(size, 1.0 / size, mean.shape), clumping(mean))
    return rng.binomial(round(leaves), some).astype(np.float64)


def _any_on_a_leaf(expected: ArrayLike, leaves: float, look_sd: float
                   ) -> tuple[FloatArray, FloatArray]:  # fmt: skip
    """Chance of any on a leaf under each part of the look's error, and the weights of the parts."""
    mean = np.maximum(np.asarray(expected, dtype=np.float64), LEAST_EXPECTED) / leaves
    factors, weights = (part.reshape(-1, *(1,) * mean.ndim) for part in look_factors(look_sd))
    some = chance_of_any(factors * mean, clumping(mean))
    return np.clip(some, 1e-12, 1 - 1e-12), weights


def level_log_likelihood(
    expected: ArrayLike, level: Level, looked_at: float, *, shake: bool
) -> FloatArray:
    """Log-probability of a level per leaf (or per shaken plant), shape as `expected`.

    expected : insects on everything looked at; the level's bounds are taken that many times.
    """
    bounds = SHAKE_LEVELS if shake else LEAF_LEVELS
    names = [*bounds, "heavy"]
    place = names.index(level)
    low = -1.0 if place == 0 else bounds[names[place - 1]] * looked_at
    below = 0.0 if place == 0 else at_most(expected, low, looked_at)
    up_to = 1.0 if level == "heavy" else at_most(expected, bounds[level] * looked_at, looked_at)
    return np.asarray(np.log(np.maximum(np.asarray(up_to) - below, 1e-12)))


def seen_log_likelihood(expected: ArrayLike, looked_at: float) -> FloatArray:
    """Log-probability that at least one is seen, shape as `expected`."""
    return np.asarray(np.log(np.maximum(1.0 - at_most(expected, 0, looked_at), 1e-12)))
