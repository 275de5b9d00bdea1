"""The normal law of a cloud of particles, with no more in it than they can tell.

A covariance of many unknowns, read off a few hundred particles, is full of chance: it ties unknowns
together that have nothing to do with each other, and moves drawn from it keep to those ties, so
that the cloud draws together as if more had been learnt. What is learnt of a plot has a shape of
its own. Some unknowns are shared by all plantings, the others belong to one planting each, and two
plantings know of each other by what they share. And of most of these nothing was learnt at all: to
them belongs the prior, which is known exactly. Decision 0069 says what this mends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

FloatArray = NDArray[np.float64]
Columns = NDArray[np.intp]

# Both tried on normal models whose posterior is known (decision 0069). An own unknown counts as
# learnt of where its cloud tells against the prior by so much: twice a log-likelihood, beside what
# as many figures give by chance.
LEARNT = 30.0
TOLD = 3.5  # standard errors from which on a shared unknown tells something of an own one
ROUNDING = 1e-6  # keeps a covariance whole where unknowns go together nearly exactly


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Which columns are shared by all plantings, and which are each planting's own.

    shared : (n_shared,). own : (n_plantings, n_own).
    """

    shared: Columns
    own: Columns

    @classmethod
    def all_shared(cls, n: int) -> Layout:
        """Nothing is any planting's own."""
        return cls(np.arange(n), np.empty((0, 0), dtype=np.intp))


@dataclass(frozen=True, slots=True, eq=False)
class Law:
    """A normal law: mean, (n_unknowns,), and lower root of the covariance, (n_unknowns, same)."""

    mean: FloatArray
    root: FloatArray

    def held(self, unknowns: FloatArray) -> FloatArray:
        """How far each particle is from the mean, in widths of the law; shape of `unknowns`."""
        away = (unknowns - self.mean).T
        return np.asarray(
            linalg.solve_triangular(self.root, away, lower=True, check_finite=False).T
        )


def law_of(cloud: FloatArray, layout: Layout) -> Law:
    """The law of a cloud whose prior is standard normal, (n_particles, n_unknowns).

    Shared unknowns have the cloud's mean and covariance. A planting's own that something was
    learnt of follow these by what of them tells, and each other; all the rest keep the prior.
    """
    n, d = cloud.shape
    middle, spread = cloud.mean(0), np.atleast_2d(np.cov(cloud.T))
    learnt = _learnt(n, middle, spread, layout)
    by_shared = _by_shared(n, spread, layout, learnt)
    rest = _left(spread, by_shared, layout)
    covariance = np.eye(d)
    known = np.flatnonzero(learnt)
    covariance[np.ix_(known, known)] = 0.0
    for own in layout.own:
        here = own[learnt[own]]
        covariance[np.ix_(here, here)] = rest[np.ix_(here, here)]
    covariance += by_shared @ spread[np.ix_(layout.shared, layout.shared)] @ by_shared.T
    covariance += ROUNDING * np.eye(d)
    root = np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)
    return Law(np.where(learnt, middle, 0.0), root)


def _learnt(n: int, middle: FloatArray, spread: FloatArray, layout: Layout) -> NDArray[np.bool_]:
    """Which unknowns the cloud tells something of: all that are shared, and own ones so told."""
    shared = spread[np.ix_(layout.shared, layout.shared)]
    ties = spread[:, layout.shared]
    width = np.maximum(np.diag(spread), ROUNDING)
    tied = np.einsum("ij,ji->i", ties, _solved(shared, ties.T)) / width
    against = middle**2 + width - 1.0 - np.log(width) - np.log1p(-np.clip(tied, 0.0, 1 - ROUNDING))
    learnt = np.asarray(n * against > LEARNT + 2 + len(layout.shared))
    learnt[layout.shared] = True
    return learnt


def _by_shared(n: int, spread: FloatArray, layout: Layout, learnt: NDArray[np.bool_]) -> FloatArray:
    """How each unknown follows the shared ones, (n_unknowns, n_shared): nothing but what tells."""
    shared = spread[np.ix_(layout.shared, layout.shared)]
    inverse = np.diag(np.linalg.inv(shared + ROUNDING * np.eye(len(shared))))
    follows = np.zeros((len(spread), len(shared)))
    follows[layout.shared] = np.eye(len(shared))
    for one in np.ravel(layout.own):
        if not learnt[one]:
            continue
        ties = spread[layout.shared, one]
        slope = _solved(shared, ties)
        left = max(float(spread[one, one] - ties @ slope), ROUNDING)
        tells = np.flatnonzero(np.abs(slope) > TOLD * np.sqrt(left * inverse / n))
        follows[one, tells] = _solved(shared[np.ix_(tells, tells)], ties[tells])
    return follows


def _left(spread: FloatArray, by_shared: FloatArray, layout: Layout) -> FloatArray:
    """Covariance of what the shared unknowns leave open."""
    explained = by_shared @ spread[layout.shared, :]
    shared = spread[np.ix_(layout.shared, layout.shared)]
    return np.asarray(spread - explained - explained.T + by_shared @ shared @ by_shared.T)


def _solved(matrix: FloatArray, right: FloatArray) -> FloatArray:
    return np.asarray(np.linalg.solve(matrix + ROUNDING * np.eye(len(matrix)), right))
