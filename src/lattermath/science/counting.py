"""How clumped counts are, and how many leaves to look at for a wanted precision."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betainc, digamma, gammaincc

FloatArray = NDArray[np.float64]

CLUMPED_BELOW = 1e5  # judgement: a k above this is Poisson in all but name
SMALLEST_K = 1e-8
HALVINGS = 100
LARGEST_LOG = 709.0
NOISE = 1e-9  # judgement: far above what these formulas err by, far below a leaf


@dataclass(frozen=True, slots=True)
class Clumping:
    """A negative binomial fitted to counts.

    mean, variance : of the counts, the variance with n - 1; None from one count.
    k              : None where counts are no more clumped than Poisson.
    """

    mean: float
    variance: float | None
    k: float | None


def fit_negative_binomial(counts: ArrayLike) -> Clumping:
    """Mean, variance and clumping k of counts, k by maximum likelihood.

    counts : whole numbers, one per leaf, shape (n_leaves,).

    k solves  sum(psi(x + k) - psi(k)) = n ln(1 + m / k),  psi the digamma function. There is a
    solution exactly where the variance with n is above the mean; k of 100 000 and more counts as
    none, and so does k of counts that are all 0.

    Source: textbook likelihood (form derived here).
    """
    seen = np.asarray(counts, dtype=np.float64)
    if seen.ndim != 1 or seen.size == 0:
        raise ValueError("one count or more is wanted")
    if np.isnan(seen).any() or np.any(seen < 0) or np.any(seen != np.floor(seen)):
        raise ValueError("counts must be whole numbers from 0 on, all of them known")
    mean = float(seen.mean())
    if seen.size == 1:
        return Clumping(mean, None, None)
    variance = float(seen.var(ddof=1))
    return Clumping(mean, variance, _likeliest_k(seen) if seen.var() > mean else None)


def _likeliest_k(seen: FloatArray) -> float | None:
    value, times = np.unique(seen, return_counts=True)
    mean = float(seen.mean())

    def slope(k: float) -> float:
        told = float((times * (digamma(value + k) - digamma(k))).sum())
        return told - seen.size * math.log1p(mean / k)

    low, high = math.log(SMALLEST_K), math.log(CLUMPED_BELOW)
    if slope(CLUMPED_BELOW) >= 0:
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(math.exp(middle)) > 0 else (low, middle)
    return math.exp((low + high) / 2)


def moment_k(mean: float, variance: float) -> float | None:
    """Clumping k by moments, m^2 / (s^2 - m); None where variance is not above the mean."""
    return mean**2 / (variance - mean) if variance > mean else None


@dataclass(frozen=True, slots=True)
class Taylor:
    """Taylor's power law of counts, variance = a mean^b."""

    a: float
    b: float

    def __post_init__(self) -> None:
        """Refuse a variance of nothing."""
        _above_nought(a=self.a)

    def variance(self, mean: float) -> float:
        """Variance of counts of that mean."""
        return self.a * math.pow(mean, self.b)

    def k(self, mean: float) -> float | None:
        """Clumping k at that mean; None where counts are no more clumped than Poisson."""
        return moment_k(mean, self.variance(mean))


def fit_taylor(means: ArrayLike, variances: ArrayLike) -> Taylor:
    """Taylor's power law through samples, by least squares on natural logarithms.

    means, variances : of each sample, above 0, shape (n_samples,).
    """
    m, s2 = np.asarray(means, dtype=np.float64), np.asarray(variances, dtype=np.float64)
    if m.shape != s2.shape or len(m) < 2 or np.any(m <= 0) or np.any(s2 <= 0):
        raise ValueError("two samples or more are wanted, means and variances above 0")
    x, y = np.log(m), np.log(s2)
    apart = x - x.mean()
    if not np.any(apart):
        raise ValueError("samples of different means are wanted")
    b = float((apart * y).sum() / (apart**2).sum())
    return Taylor(math.exp(float(y.mean() - b * x.mean())), b)


def share_above(tally: int, mean: float, k: float | None) -> float:
    """Share of leaves with more than `tally` insects. [0 to 1]

    mean, k : of the counts; k None for Poisson.

    Source: negative binomial distribution (textbook), summed by the incomplete beta function.
    """
    if tally < 0 or mean < 0:
        raise ValueError("tally and mean must not be below 0")
    if mean == 0:
        return 0.0
    if k is None:
        return 1.0 - float(gammaincc(tally + 1, mean))
    return 1.0 - float(betainc(k, tally + 1, k / (k + mean)))


def leaves_for_precision(mean: float, precision: float, spread: Taylor | float) -> float:
    """Leaves to count so that the mean is known with that precision; not rounded.

    mean      : insects a leaf expected, above 0.
    precision : standard error of the mean / mean. [1]
    spread    : Taylor's power law, or the clumping k of a negative binomial.

        n = s^2 / (m D)^2

    Source: Green 1970 for the power law (formula recalled).
    """
    _above_nought(mean=mean, precision=precision)
    if isinstance(spread, Taylor):
        return _exp(math.log(spread.a) + (spread.b - 2) * math.log(mean) - 2 * math.log(precision))
    _above_nought(k=spread)
    return (1 / mean + 1 / spread) / precision / precision


def whole_leaves(leaves: float) -> int:
    """Fewest whole leaves that are at least so many. [1]

    leaves : as computed, finite; what arithmetic adds or takes is no leaf.

    64.00000000000001 is 64, and 64.1 is 65.
    """
    return math.ceil(without_noise(leaves))


def without_noise(leaves: float) -> float:
    """The whole number where one is as near as arithmetic errs, else the number itself. [1]

    leaves : or a total on them.
    """
    if not math.isfinite(leaves):
        return leaves
    whole = float(round(leaves))
    return whole if abs(leaves - whole) <= NOISE * max(abs(whole), 1.0) else leaves


def precision_of(leaves: float, mean: float, k: float) -> float:
    """Standard error of the mean / mean that so many leaves reach, at clumping k. [1]

    mean : insects a leaf.

        D = sqrt((1 / m + 1 / k) / n)

    Source: `leaves_for_precision` turned round; with k of each mean its own, as a power law has it.
    """
    _above_nought(leaves=leaves, mean=mean, k=k)
    return math.sqrt((1 / mean + 1 / k) / leaves)


def stop_total(leaves: float, precision: float, spread: Taylor | float) -> float:
    """Insects counted in all at which that many leaves are enough; inf where they never are.

    leaves    : leaves looked at so far.
    precision : standard error of the mean / mean. [1]
    spread    : Taylor's power law, or the clumping k of a negative binomial.

        T = (a n^(1-b) / D^2)^(1 / (2-b));   T = 1 / (D^2 - 1 / (k n)) with a common k

    Source: Green 1970 (formula recalled); the second form derived from n above.
    """
    _above_nought(leaves=leaves, precision=precision)
    if isinstance(spread, Taylor):
        if spread.b >= 2:
            raise ValueError("with b of 2 and more the precision does not improve with the total")
        log_n = math.log(spread.a) + (1 - spread.b) * math.log(leaves) - 2 * math.log(precision)
        return _exp(log_n / (2 - spread.b))
    _above_nought(k=spread)
    left = precision**2 - 1 / (spread * leaves)
    return 1 / left if left > 0 else math.inf


def plants_to_detect(infested: float, sureness: float) -> int:
    """Fewest plants to look over so that at least one infested is among them.

    infested : share of plants infested, each found when looked at. [0 to 1]
    sureness : wished-for chance, below 1. [0 to 1]

        n = ln(1 - sureness) / ln(1 - infested)
    """
    if not (0 < infested <= 1 and 0 <= sureness < 1):
        raise ValueError("a share above 0 and a chance below 1 are wanted")
    if infested == 1 or sureness == 0:
        return 1
    return max(1, math.ceil(math.log1p(-sureness) / math.log1p(-infested) - 1e-9))


def _exp(logarithm: float) -> float:
    """The number of that natural logarithm; inf where it is too large for one."""
    return math.exp(logarithm) if logarithm < LARGEST_LOG else math.inf


def _above_nought(**given: float) -> None:
    for name, value in given.items():
        if not value > 0:
            raise ValueError(f"{name} must be above 0, not {value:g}")
