"""Severities against the prediction of draws: even tails where fair, and what is far off."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special, stats

from lattermath.belief.leaf_disease_sightings import LOOK_SD, LeafSeen
from lattermath.belief.leaf_sighting_check import leaf_checked, leaf_worth_checking
from lattermath.science.leaf_disease import TOP

RNG = np.random.default_rng(5)
TRUE = special.expit(RNG.normal(-2.0, 0.7, 400))
SEVERITY = np.zeros((400, 1, 1, 2))
SEVERITY[:, 0, 0, TOP] = TRUE
EVEN = np.full(400, 1 / 400)


def said(percent: float | None, level: str | None = None) -> LeafSeen:
    return LeafSeen(0, 0, TOP, percent, level, 10, 1)  # type: ignore[arg-type]


def test_tails_of_fair_severities_are_even() -> None:
    """1,000 thrown from the prediction itself; by a test of evenness, not below 1 in 1,000."""
    rng = np.random.default_rng(6)
    tails = []
    for _ in range(1000):
        seen = special.expit(special.logit(rng.choice(TRUE)) + LOOK_SD * rng.normal())
        check = leaf_checked(said(100 * float(seen)), SEVERITY, EVEN)
        assert check is not None
        tails.append(check.tail)
    assert stats.kstest(tails, "uniform").pvalue > 0.001


@pytest.mark.parametrize(("percent", "more"), [(80.0, True), (0.05, False)])
def test_what_is_far_off_is_at_odds(percent: float, more: bool) -> None:
    check = leaf_checked(said(percent), SEVERITY, EVEN)
    assert check is not None and check.at_odds and check.more is more
    assert leaf_worth_checking(said(percent), SEVERITY)


def test_none_on_ten_leaves_where_many_are_ill_is_at_odds() -> None:
    """Chance of none by hand: the mean of exp(-leaves x severity / 0.02)."""
    check = leaf_checked(said(0.0), SEVERITY, EVEN)
    assert check is not None and check.at_odds
    assert check.tail == pytest.approx(np.exp(-np.minimum(10 * TRUE / 0.02, 30)).mean())


def test_what_is_as_expected_is_not_and_a_bare_seen_is_not_checked() -> None:
    check = leaf_checked(said(100 * float(np.median(TRUE))), SEVERITY, EVEN)
    assert check is not None and not check.at_odds and check.low < 12 < check.high
    assert leaf_checked(said(None), SEVERITY, EVEN) is None
    many = leaf_checked(said(None, "many"), SEVERITY, EVEN)
    assert many is not None and not many.at_odds
