"""Counting leaf by leaf until few or many is certain enough: Wald's test and what it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, xlogy

FloatArray = NDArray[np.float64]

MOST_LEAVES = 5000  # judgement: nobody counts further; what is undecided by then shows in the sum
MOST_WORK = 100_000_000  # products of chances; errors that would take more are not reckoned
UNDECIDED = 1e-6  # chance that is followed no further


@dataclass(frozen=True, slots=True)
class StopLines:
    """Two parallel lines of the insects counted so far against the leaves looked at.

    Few where the total is at or below slope n + lower_intercept, many where it is at or above
    slope n + upper_intercept.
    """

    slope: float
    lower_intercept: float
    upper_intercept: float

    def verdict(self, leaves: int, total: float) -> str:
        """`low`, `high`, or `go on` after so many leaves with so many insects in all."""
        if total <= self.slope * leaves + self.lower_intercept:
            return "low"
        return "high" if total >= self.slope * leaves + self.upper_intercept else "go on"


@dataclass(frozen=True, slots=True)
class RealErrors:
    """What a sequential test really does at one true mean.

    called_low, called_high : chance that it ends with few, with many; below 1 together where it
        may go on beyond the last leaf reckoned.
    mean_leaves : leaves looked at on average.
    """

    called_low: float
    called_high: float
    mean_leaves: float


def stop_lines(
    low_mean: float, high_mean: float, k: float | None, alpha: float, beta: float
) -> StopLines:
    """Wald's stop lines of insects a leaf, negative binomial, or Poisson where k is None.

    low_mean, high_mean : means that must be told apart, the first the lower, above 0.
    k                   : clumping, one for both means.
    alpha, beta         : nominal chances to call few many, and many few. [0 to 1], [0 to 1]

        D = ln(m1 (m0 + k) / (m0 (m1 + k))),  slope = k ln((m1 + k) / (m0 + k)) / D,
        lower = ln(beta / (1 - alpha)) / D,  upper = ln((1 - beta) / alpha) / D

    Source: Wald 1945 (textbook); values of a public package's test file read.
    Holds for: the same k at both means. Real errors differ from the nominal: see `real_errors`.
    """
    if not 0 < low_mean < high_mean:
        raise ValueError(f"the low mean must lie between 0 and the high one, not {low_mean:g}")
    if k is not None and k <= 0:
        raise ValueError(f"k must be above 0, not {k:g}")
    rise = high_mean - low_mean
    if k is None:
        apart = math.log1p(rise / low_mean)
        return _lines(rise / apart, apart, alpha, beta)
    apart = math.log1p(rise / low_mean * (k / (high_mean + k)))
    return _lines(k * math.log1p(rise / (low_mean + k)) / apart, apart, alpha, beta)


def stop_lines_of_infested(
    low_share: float, high_share: float, alpha: float, beta: float
) -> StopLines:
    """Wald's stop lines of infested leaves against leaves looked at.

    low_share, high_share : shares infested that must be told apart. [0 to 1], [0 to 1]
    alpha, beta           : nominal chances to call few many, and many few. [0 to 1], [0 to 1]

    Source: Wald 1945 (textbook), binomial form; one worked specification read.
    """
    if not 0 < low_share < high_share < 1:
        raise ValueError("two shares between 0 and 1 are wanted, the lower first")
    fewer = math.log1p(-low_share) - math.log1p(-high_share)
    apart = math.log(high_share / low_share) + fewer
    return _lines(fewer / apart, apart, alpha, beta)


def _lines(slope: float, apart: float, alpha: float, beta: float) -> StopLines:
    if not (0 < alpha < 1 and 0 < beta < 1 and alpha + beta < 1):
        raise ValueError("alpha and beta must lie above 0 and sum to less than 1")
    return StopLines(
        slope, math.log(beta / (1 - alpha)) / apart, math.log((1 - beta) / alpha) / apart
    )


def real_errors(lines: StopLines, mean: float, k: float | None) -> RealErrors | None:
    """How often the test ends with few and with many, and after how many leaves, exactly.

    mean, k : true insects a leaf; k None for Poisson.

    The chance of every total between the lines is followed leaf by leaf. None where the lines lie
    so far apart that this would take too long.
    """
    reach = lines.upper_intercept - lines.lower_intercept + lines.slope + 2
    if reach**2 > MOST_WORK:
        return None
    # More on one leaf crosses the upper line at once.
    return _followed(lines, _chances(mean, k, math.ceil(reach)))


def real_errors_of_infested(lines: StopLines, share: float) -> RealErrors | None:
    """The same for leaves with some or none, exactly.

    share : of leaves truly infested, each found when looked at. [0 to 1]
    """
    if not 0 <= share <= 1:
        raise ValueError(f"a share must lie from 0 to 1, not {share:g}")
    return _followed(lines, np.array([1 - share, share]))


def _followed(lines: StopLines, leaf: FloatArray) -> RealErrors | None:
    """The chance of every total between the lines, leaf by leaf.

    leaf : chance of 0, 1 ... on one leaf.
    """
    held, first = np.ones(1), 0  # chance of totals first, first + 1 ...
    low = high = leaves = 0.0
    work = 0
    for n in range(1, MOST_LEAVES + 1):
        work += len(held) * len(leaf)
        if work > MOST_WORK:
            return None
        before = float(held.sum())
        leaves += before
        below_upper = max(math.ceil(lines.slope * n + lines.upper_intercept) - first, 0)
        moved = np.convolve(held, leaf)[:below_upper]
        high += max(before - float(moved.sum()), 0.0)
        ended = max(math.floor(lines.slope * n + lines.lower_intercept) - first + 1, 0)
        low += float(moved[:ended].sum())
        held, first = moved[ended:], first + ended
        if held.sum() < UNDECIDED:
            break
    return RealErrors(low, high, leaves)


def _chances(mean: float, k: float | None, most: int) -> FloatArray:
    """Chance of 0, 1 ... `most` insects on a leaf."""
    x = np.arange(most + 1, dtype=np.float64)
    if k is None:
        return np.asarray(np.exp(xlogy(x, mean) - mean - gammaln(x + 1)))
    share = mean / (mean + k)
    ways = gammaln(x + k) - gammaln(k) - gammaln(x + 1)
    return np.asarray(np.exp(ways + xlogy(x, share) + k * math.log1p(-share)))
