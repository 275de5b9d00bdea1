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


def test_what_is_as_expected_is_not_at_odds() -> None:
    check = leaf_checked(said(100 * float(np.median(TRUE))), SEVERITY, EVEN)
    assert check is not None and not check.at_odds and check.low < 12 < check.high
    many = leaf_checked(said(None, "many"), SEVERITY, EVEN)
    assert many is not None and not many.at_odds


def test_a_bare_seen_is_at_odds_where_hardly_any_leaf_is_ill() -> None:
    """Chance that one leaf of ten shows it by hand: 1 - exp(-leaves x severity / 0.02)."""
    bare = leaf_checked(said(None), SEVERITY, EVEN)
    assert bare.tail == pytest.approx(1 - np.exp(-np.minimum(10 * TRUE / 0.02, 30)).mean())
    assert not bare.at_odds
    thin = leaf_checked(said(None), np.full((400, 1, 1, 2), 1e-5), EVEN)
    assert thin.tail == pytest.approx(1 - np.exp(-10 * 1e-5 / 0.02)) and thin.at_odds


def test_first_finds_that_are_fair_are_seldom_at_odds() -> None:
    """1,000 finds thrown from a thin disease of which nothing was seen, by the rule of a look."""
    rng = np.random.default_rng(7)
    true = special.expit(rng.normal(-6.0, 1.8, 400))
    severity = np.repeat(true[:, None, None, None], 2, axis=3)
    tails = []
    while len(tails) < 1000:
        one = rng.choice(true)
        ill = min(10 * one / 0.02, 30.0)
        if rng.random() < 1 - np.exp(-ill):
            middle, sd = (
                special.logit(one / (1 - np.exp(-ill))),
                np.hypot(LOOK_SD, (1 + ill) ** -0.5),
            )
            percent = 100 * float(special.expit(middle + sd * rng.normal()))
            tails.append(leaf_checked(said(percent), severity, EVEN, first=True).tail)
    assert stats.kstest(tails, "uniform").pvalue > 0.001
