"""Counting on a few leaves at most: how it ends where it may stop on the way."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from lattermath.science.sequential_counts import StopLines

FloatArray = NDArray[np.float64]

LOOK_PARTS = 7  # of what one look has wrong in common
NEVER = -1  # no total is so low


@dataclass(frozen=True, slots=True)
class ClosedCount:
    """When counting stops after leaf 1, 2 ...; at the last it always does.

    few  : total at or below which it ends with few; -1 where it never does there.
    many : total at or above which it ends with many.
    """

    few: tuple[int, ...]
    many: tuple[int, ...]

    def __post_init__(self) -> None:
        """Refuse lines that cross, and a last leaf that leaves it open."""
        if len(self.few) != len(self.many) or not self.few:
            raise ValueError("one stop of either side is wanted for each leaf")
        if any(few >= many for few, many in zip(self.few, self.many, strict=True)):
            raise ValueError("few must lie below many on every leaf")
        if self.few[-1] + 1 != self.many[-1]:
            raise ValueError("the last leaf must end it")


@dataclass(frozen=True, slots=True, eq=False)
class Ends:
    """How a count ends, by true mean, (n_means,) each.

    many    : chance that it ends with many, from 0 to 1.
    leaves  : leaves looked at on average.
    counted : what is counted on them on average; nobody counts on beyond the line.
    """

    many: FloatArray
    leaves: FloatArray
    counted: FloatArray


def closed_at(turns_at: int, leaves: int, none_on: int | None = None) -> ClosedCount:
    """All leaves counted; it stops at the total that means many, or with none on the first few.

    turns_at : total on all leaves from which it is many. More leaves only add to a total.
    none_on  : leaves after which none at all means few; None where that never does.
    """
    first = leaves if none_on is None else none_on
    few = [NEVER if n < first else 0 for n in range(1, leaves)]
    return ClosedCount((*few, turns_at - 1), (turns_at,) * leaves)


def closed_lines(lines: StopLines, turns_at: int, leaves: int) -> ClosedCount:
    """Wald's stop lines, closed at the last leaf by the total that means many there."""
    few, many = [], []
    for n in range(1, leaves):
        under = math.floor(lines.slope * n + lines.lower_intercept)
        over = math.ceil(lines.slope * n + lines.upper_intercept)
        many.append(max(min(over, turns_at), 1))
        few.append(max(min(under, many[-1] - 1), NEVER))
    return ClosedCount((*few, turns_at - 1), (*many, turns_at))


def closed_infested(turns_at: int, leaves: int) -> ClosedCount:
    """Leaves with some: it stops once so many have some, or the rest cannot make it so many."""
    few = [max(turns_at - 1 - (leaves - n), NEVER) for n in range(1, leaves + 1)]
    return ClosedCount(tuple(few), (turns_at,) * leaves)


def look_factors(look_sd: float) -> tuple[FloatArray, FloatArray]:
    """What one look has wrong in common over its leaves, a gamma of mean 1: factors and weights.

    look_sd : its standard deviation, 0 for eyes that never err. Weights sum to 1; (n_parts,) each.

    Source: Gauss quadrature by the matrix of the generalised Laguerre polynomials (textbook).
    """
    if look_sd <= 0:
        return np.ones(1), np.ones(1)
    size, n = 1.0 / look_sd**2, np.arange(LOOK_PARTS)
    beside = np.sqrt(n[1:] * (n[1:] + size - 1))
    matrix = np.diag(2 * n + size) + np.diag(beside, 1) + np.diag(beside, -1)
    nodes, vectors = np.linalg.eigh(matrix)
    return np.asarray(nodes / size), np.asarray(vectors[0] ** 2)


def chance_of_any(mean: ArrayLike, k: ArrayLike) -> FloatArray:
    """Chance that a leaf has any, of a negative binomial, shape as `mean`. [0 to 1]"""
    m, clumped = np.asarray(mean, dtype=np.float64), np.asarray(k, dtype=np.float64)
    return np.asarray(-np.expm1(-clumped * np.log1p(m / clumped)))


def count_ends(closed: ClosedCount, means: ArrayLike, k: ArrayLike, look_sd: float) -> Ends:
    """How counting what sits on each leaf ends, every total followed leaf by leaf.

    means, k : what is seen a leaf and its clumping there, (n_means,) each.
    look_sd  : what one look has wrong in common over its leaves.

    Source: followed as in `sequential_counts.real_errors`, the look's own error as a gamma mixture.
    Checked: tests/science/test_closed_counts.py, against thrown looks.
    """
    m, clumped, weights = _spread(means, k, look_sd)
    return _averaged(_followed(closed, _leaf_chances(m, clumped, max(closed.many))), weights)


def infested_ends(closed: ClosedCount, means: ArrayLike, k: ArrayLike, look_sd: float) -> Ends:
    """The same where a leaf only has some or none; `counted` are leaves with some."""
    m, clumped, weights = _spread(means, k, look_sd)
    some = chance_of_any(m, clumped)
    return _averaged(_followed(closed, np.stack([1 - some, some], axis=1)), weights)


def _spread(means: ArrayLike, k: ArrayLike, look_sd: float
            ) -> tuple[FloatArray, FloatArray, FloatArray]:  # fmt: skip
    """Means under each part of the look's error, one after the other, with their clumping."""
    mean, clumped = np.asarray(means, dtype=np.float64), np.asarray(k, dtype=np.float64)
    if np.any(mean < 0) or np.any(clumped <= 0):
        raise ValueError("means must not be below 0, and k must be above it")
    factors, weights = look_factors(look_sd)
    return (factors[:, None] * mean).ravel(), np.tile(clumped, len(factors)), weights


def _averaged(ends: Ends, weights: FloatArray) -> Ends:
    rows = (one.reshape(len(weights), -1) for one in (ends.many, ends.leaves, ends.counted))
    many, leaves, counted = (np.asarray(weights @ one) for one in rows)
    return Ends(np.clip(many, 0.0, 1.0), leaves, counted)


def _leaf_chances(mean: FloatArray, k: FloatArray, most: int) -> FloatArray:
    """Chance of 0, 1 ... `most` on one leaf, (n_means, most + 1)."""
    x, m, size = np.arange(most + 1, dtype=np.float64), mean[:, None], k[:, None]
    ways = special.gammaln(x + size) - special.gammaln(size) - special.gammaln(x + 1)
    return np.asarray(np.exp(ways + special.xlogy(x, m / (m + size)) - size * np.log1p(m / size)))


def _followed(closed: ClosedCount, leaf: FloatArray) -> Ends:
    """The chance of every total that goes on, leaf by leaf.

    leaf : chance of 0, 1 ... on one leaf, (n_rows, n_values); what is more crosses any line.
    """
    rows, top = len(leaf), max(closed.many)
    size = 1 << (top + leaf.shape[1]).bit_length()
    turned = np.fft.rfft(leaf, size, axis=1)
    held = np.zeros((rows, top))
    held[:, 0] = 1.0
    many, leaves, counted = np.zeros(rows), np.zeros(rows), np.zeros(rows)
    totals = np.arange(top, dtype=np.float64)
    for few, over in zip(closed.few, closed.many, strict=True):
        before = held.sum(1)
        leaves += before
        moved = np.fft.irfft(np.fft.rfft(held, size, axis=1) * turned, size, axis=1)[:, :top]
        moved = np.maximum(moved, 0.0)
        moved[:, over:] = 0.0
        crossed = np.maximum(before - moved.sum(1), 0.0)
        many += crossed
        ended = moved[:, : few + 1]
        counted += crossed * over + ended @ totals[: few + 1]
        moved[:, : few + 1] = 0.0
        held = moved
    return Ends(many, leaves, counted)
