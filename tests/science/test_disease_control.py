"""Severities beside untreated ones: against epidemics run by their own law, and thrown errors."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import expit, logit

from lattermath.science.disease_control import (
    Severity,
    grown_compared,
    left_compared,
    most_unseen,
    nothing_new,
)


def exact(share: float) -> Severity:
    return Severity(share, 0.0)


def euler(start: float, rate: float, days: float) -> float:
    """dx/dt = r x (1 - x) in small steps, as the books write it."""
    share, step = start, 1e-4
    for _ in range(round(days / step)):
        share += step * rate * share * (1 - share)
    return share


@pytest.mark.parametrize("starts", [(0.05, 0.05), (0.02, 0.30), (0.30, 0.02)])
def test_two_epidemics_of_one_rate_show_no_effect_whatever_they_began_with(
    starts: tuple[float, float],
) -> None:
    """By plain counts the planting that began with more would seem treated: it had no room."""
    mine, beside = (euler(start, 0.2, 7) for start in starts)
    found = grown_compared(exact(starts[0]), exact(mine), exact(starts[1]), exact(beside))
    assert found.percent == pytest.approx(0.0, abs=0.1)


def test_nothing_new_is_what_a_shield_without_a_gap_gives() -> None:
    """The untreated planting grew fourfold in odds: what stands still has a quarter of that."""
    after = float(expit(logit(0.05) + math.log(4)))
    found = grown_compared(exact(0.10), exact(0.10), exact(0.05), exact(after))
    assert found.percent == pytest.approx(75.0)
    assert nothing_new(exact(0.10), exact(0.05), exact(after)) == pytest.approx(75.0)


def test_little_leaf_ill_gives_what_counts_would() -> None:
    """Henderson and Tilton's own check value, 25, 100, 80 and 120 give 83.3333, a millionth."""
    few = [exact(n * 1e-6) for n in (100, 25, 80, 120)]
    assert grown_compared(*few).percent == pytest.approx(83.3333, abs=0.01)
    assert left_compared(exact(0.20), exact(1.0 - 1e-9)).percent == pytest.approx(80.0)


def test_what_cannot_be_told_is_not_told() -> None:
    assert math.isnan(grown_compared(exact(0.0), exact(0.1), exact(0.1), exact(0.2)).percent)
    assert math.isnan(grown_compared(exact(0.1), exact(0.1), exact(0.1), exact(0.0)).percent)
    assert math.isnan(left_compared(exact(0.1), exact(0.0)).percent)


def test_more_ill_than_untreated_is_below_nothing() -> None:
    assert grown_compared(exact(0.1), exact(0.3), exact(0.1), exact(0.2)).percent < 0


@pytest.mark.parametrize("true", [0.0, 0.8])
def test_the_interval_holds_the_truth_in_95_of_100(true: float) -> None:
    """Four looks thrown with their errors about a truth that is known."""
    rng = np.random.default_rng(4)
    rise, shares = 1.2, (0.06, 0.10)
    after = logit(shares[0]) + rise + math.log(1 - true) if true else logit(shares[0]) + rise
    middles = np.array([logit(shares[0]), after, logit(shares[1]), logit(shares[1]) + rise])
    variance, held, n = 0.4, 0, 2000
    for errors in rng.normal(0, math.sqrt(variance), (n, 4)):
        looks = [Severity(float(expit(m)), variance) for m in middles + errors]
        found = grown_compared(*looks)
        assert found.low_percent is not None and found.high_percent is not None
        held += found.low_percent <= 100 * true <= found.high_percent
    assert held / n == pytest.approx(0.95, abs=0.015)


def test_none_found_afterwards_is_as_much_as_so_many_leaves_may_hide() -> None:
    """Leaves thrown one by one: with that much, fewer than three looks in a hundred find none."""
    most = most_unseen(10, 0.02)
    rng = np.random.default_rng(5)
    none = rng.poisson(most / 0.02, (40_000, 10)).sum(axis=1) == 0
    assert none.mean() == pytest.approx(0.025, abs=0.004)
    some = Severity(0.0, 0.0, most)
    found = left_compared(some, Severity(0.30, 0.0))
    assert (found.percent, found.high_percent) == (100.0, 100.0)
    assert found.low_percent == pytest.approx(100 * (1 - most / 0.30))
