"""Stop lines against Wald's likelihood ratio itself, errors against simulated scouting."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from lattermath.science.sequential_counts import (
    StopLines,
    real_errors,
    real_errors_of_infested,
    stop_lines,
    stop_lines_of_infested,
)


def log_ratio(total: int, n: int, low: float, high: float, k: float | None) -> float:
    """Log likelihood of the high mean over that of the low, by another library."""
    counts = np.full(n, total // n)
    counts[: total % n] += 1
    if k is None:
        told = stats.poisson.logpmf(counts, high) - stats.poisson.logpmf(counts, low)
    else:
        told = stats.nbinom.logpmf(counts, k, k / (k + high))
        told = told - stats.nbinom.logpmf(counts, k, k / (k + low))
    return float(told.sum())


@pytest.mark.parametrize("k", [None, 0.4, 4.6])
@given(n=st.integers(1, 30), total=st.integers(0, 200))
def test_lines_part_where_walds_ratio_does(k, n: int, total: int) -> None:
    low, high, alpha, beta = 2.0, 4.0, 0.1, 0.05
    lines = stop_lines(low, high, k, alpha, beta)
    ratio = log_ratio(total, n, low, high, k)
    few, many = math.log(beta / (1 - alpha)), math.log((1 - beta) / alpha)
    verdict = "low" if ratio < few else "high" if ratio > many else "go on"
    assert lines.verdict(n, total) == verdict


def simulated(lines: StopLines, mean: float, k: float | None, runs: int = 4000):
    """Share called high and leaves looked at, by scouting that many made-up plots."""
    rng = np.random.default_rng(1)
    high = leaves = 0
    for _ in range(runs):
        total = n = 0
        while True:
            n += 1
            total += rng.poisson(mean if k is None else rng.gamma(k, mean / k))
            verdict = lines.verdict(n, total)
            if verdict != "go on":
                break
        high += verdict == "high"
        leaves += n
    return high / runs, leaves / runs


@pytest.mark.parametrize(("k", "mean"), [(4.6, 2), (4.6, 3), (4.6, 4), (None, 3.2), (0.7, 2.5)])
def test_reckoned_errors_are_those_of_scouting(k, mean: float) -> None:
    """4,000 runs: within 0.03 and 0.4 leaves (5 in 100 where the plots are very clumped)."""
    lines = stop_lines(2, 4, k, 0.1, 0.1)
    found = real_errors(lines, mean, k)
    high, leaves = simulated(lines, mean, k)
    assert found.called_low + found.called_high == pytest.approx(1, abs=1e-5)
    assert found.called_high == pytest.approx(high, abs=0.03)
    assert found.mean_leaves == pytest.approx(leaves, abs=max(0.4, 0.05 * leaves))


def test_a_very_large_k_is_poisson() -> None:
    poisson, nearly = stop_lines(2, 4, None, 0.1, 0.1), stop_lines(2, 4, 1e8, 0.1, 0.1)
    assert nearly.slope == pytest.approx(poisson.slope)
    assert nearly.upper_intercept == pytest.approx(poisson.upper_intercept)


def test_work_is_bounded() -> None:
    assert real_errors(stop_lines(1e8, 1e8 + 1, 3.0, 0.1, 0.1), 1e8, 3.0) is None


@pytest.mark.parametrize(
    ("low", "high", "k", "alpha", "beta"),
    [(4, 2, 1, 0.1, 0.1), (0, 2, 1, 0.1, 0.1), (2, 4, -1, 0.1, 0.1), (2, 4, 1, 0.5, 0.5)],
)
def test_what_makes_no_test_is_refused(low, high, k, alpha, beta) -> None:
    with pytest.raises(ValueError, match="must"):
        stop_lines(low, high, k, alpha, beta)


def test_infested_shares_need_an_order() -> None:
    with pytest.raises(ValueError, match="lower first"):
        stop_lines_of_infested(0.5, 0.4, 0.1, 0.1)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.3, 0.45])
def test_reckoned_errors_of_leaves_with_some_are_those_of_scouting(share: float) -> None:
    """4,000 made-up plots, told apart at 10 and 30 %: within 0.03 and 1 leaf."""
    lines = stop_lines_of_infested(0.1, 0.3, 0.1, 0.1)
    found = real_errors_of_infested(lines, share)
    rng = np.random.default_rng(3)
    high = leaves = 0
    for _ in range(4000):
        total = n = 0
        while (verdict := lines.verdict(n, total) if n else "go on") == "go on":
            n, total = n + 1, total + int(rng.random() < share)
        high += verdict == "high"
        leaves += n
    assert found.called_low + found.called_high == pytest.approx(1, abs=1e-5)
    assert found.called_high == pytest.approx(high / 4000, abs=0.03)
    assert found.mean_leaves == pytest.approx(leaves / 4000, abs=1)


def test_a_walk_of_ones_has_walds_closed_form() -> None:
    """Shares p and 1 - p: a walk between two walls, whose chances are the gambler's ruin."""
    lines = stop_lines_of_infested(0.3, 0.7, 0.05, 0.05)
    assert lines.slope == pytest.approx(0.5)
    steps = math.ceil(2 * lines.upper_intercept - 1e-9)  # wins ahead at which it ends
    for share in (0.3, 0.42, 0.7):
        ratio = (1 - share) / share
        ruin = (1 - ratio**steps) / (1 - ratio ** (2 * steps))
        assert real_errors_of_infested(lines, share).called_high == pytest.approx(ruin, abs=1e-6)
    with pytest.raises(ValueError, match="from 0 to 1"):
        real_errors_of_infested(lines, 1.2)
