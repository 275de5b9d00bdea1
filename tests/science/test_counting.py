"""Counting against direct maximisation, summed distributions and simulated scouting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import minimize_scalar

from lattermath.science.counting import (
    Taylor,
    fit_negative_binomial,
    fit_taylor,
    leaves_for_precision,
    moment_k,
    plants_to_detect,
    share_above,
    stop_total,
)


def maximised(counts: np.ndarray) -> float:
    """k by climbing the likelihood itself, with another library's distribution."""
    mean = counts.mean()

    def against(log_k: float) -> float:
        k = np.exp(log_k)
        return -float(stats.nbinom.logpmf(counts, k, k / (k + mean)).sum())

    return float(np.exp(minimize_scalar(against, bounds=(-6, 8), method="bounded").x))


@pytest.mark.parametrize(("mean", "k"), [(0.5, 0.3), (4, 1.5), (30, 0.8), (30, 12)])
def test_k_is_where_the_likelihood_is_highest(mean: float, k: float) -> None:
    rng = np.random.default_rng(4)
    counts = rng.negative_binomial(k, k / (k + mean), 200)
    fit = fit_negative_binomial(counts)
    assert fit.k == pytest.approx(maximised(counts), rel=0.001)
    assert fit.k == pytest.approx(k, rel=0.5)
    assert fit.mean == pytest.approx(counts.mean())
    assert fit.variance == pytest.approx(np.var(counts, ddof=1))


@given(st.lists(st.integers(0, 60), min_size=2, max_size=40))
def test_k_exists_exactly_where_counts_are_more_clumped_than_poisson(counts: list[int]) -> None:
    fit = fit_negative_binomial(counts)
    clumped = np.var(counts) > np.mean(counts)
    assert (fit.k is not None) == clumped
    if fit.k is not None:
        assert 0 < fit.k < 1e5


def test_few_and_odd_counts() -> None:
    assert fit_negative_binomial([5]).variance is None
    assert fit_negative_binomial([0, 0, 0]).k is None
    assert fit_negative_binomial([3, 3, 3]).k is None
    assert moment_k(2, 1.5) is None
    for wrong in ([], [1.5], [-1], [np.nan]):
        with pytest.raises(ValueError, match=r"count"):
            fit_negative_binomial(wrong)


@pytest.mark.parametrize(("mean", "k", "tally"), [(1, 0.523, 0), (5, 1.455, 3), (12, None, 9)])
def test_shares_above_a_tally_by_summing(mean: float, k: float | None, tally: int) -> None:
    x = np.arange(tally + 1)
    chances = stats.poisson.pmf(x, mean) if k is None else stats.nbinom.pmf(x, k, k / (k + mean))
    assert share_above(tally, mean, k) == pytest.approx(1 - chances.sum(), abs=1e-12)
    assert share_above(tally, 0, k) == 0


@pytest.mark.parametrize("k", [0.8, 3.0])
def test_the_wanted_precision_is_reached(k: float) -> None:
    """Simulated: leaves as advised, standard error / mean as asked, within 5 in 100."""
    rng = np.random.default_rng(5)
    mean, precision = 6.0, 0.2
    n = round(leaves_for_precision(mean, precision, k))
    means = rng.negative_binomial(k, k / (k + mean), (20_000, n)).mean(axis=1)
    assert means.std() / mean == pytest.approx(precision, rel=0.05)


@given(st.floats(0.2, 40), st.floats(0.05, 0.6))
def test_properties_of_fixed_precision(mean: float, precision: float) -> None:
    """A3: quarter the leaves at twice the error; the stop line meets n at its own mean."""
    for spread in (Taylor(2.912, 1.2617), Taylor(6.11, 1.55), 1.4):
        n = leaves_for_precision(mean, precision, spread)
        assert leaves_for_precision(mean, precision / 2, spread) == pytest.approx(4 * n)
        assert stop_total(n, precision, spread) == pytest.approx(n * mean, rel=1e-6)
        assert stop_total(2 * n, precision, spread) < stop_total(n, precision, spread)


def test_too_few_leaves_are_never_enough() -> None:
    assert stop_total(3, 0.25, 2.0) == np.inf
    with pytest.raises(ValueError, match="does not improve"):
        stop_total(30, 0.25, Taylor(2, 2.0))
    with pytest.raises(ValueError, match="mean must be above 0"):
        leaves_for_precision(0, 0.25, 1.0)


def test_taylor_through_samples_that_follow_it() -> None:
    means = np.array([0.3, 2, 9, 40])
    fit = fit_taylor(means, 3.1 * means**1.4)
    assert (fit.a, fit.b) == (pytest.approx(3.1), pytest.approx(1.4))
    assert fit.k(5) == pytest.approx(25 / (3.1 * 5**1.4 - 5))
    assert Taylor(0.5, 1.0).k(5) is None
    with pytest.raises(ValueError, match="two samples"):
        fit_taylor([1], [2])


@pytest.mark.parametrize("sureness", [0.8, 0.95, 0.99])
@pytest.mark.parametrize("infested", [0.02, 0.05, 0.3, 0.9, 1.0])
def test_plants_to_detect_by_walking(infested: float, sureness: float) -> None:
    n, missed = 0, 1.0
    while 1 - missed < sureness - 1e-12:
        n, missed = n + 1, missed * (1 - infested)
    assert plants_to_detect(infested, sureness) == n
