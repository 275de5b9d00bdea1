"""The wandering of a leaf disease beside walks that are thrown."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from lattermath.belief.leaf_disease_sightings import LeafSeen, likelihood_of
from lattermath.belief.leaf_drift import (
    PULLED_BACK_DAYS,
    WEEK_SD,
    alike,
    bent,
    by_chance,
    filtered,
    moved,
    thrown,
)

WALKS = 100_000


def look(day: int, percent: float | None, level=None) -> LeafSeen:
    return LeafSeen(day, 0, None, percent, level, 10, day)


@pytest.mark.parametrize(
    "looks",
    [
        [look(0, 2.0), look(7, 0.0), look(14, 6.0)],
        [look(3, 0.0), look(10, 0.8), look(20, 2.0)],
        [look(0, None, "few"), look(14, None, "many"), look(15, 10.0)],
    ],
)
def test_the_filter_says_what_thrown_walks_say(looks: list[LeafSeen]) -> None:
    """Likelihood of all looks, and mean and spread of the walk at the last of them."""
    severity = np.full((1, 1, 30, 2), 0.03)
    found = filtered(looks, severity, np.zeros(1))
    rng = np.random.default_rng(5)
    walk, weight, before = np.zeros(WALKS), np.zeros(WALKS), 0
    for one in looks:
        walk += WEEK_SD * np.sqrt((one.day - before) / 7) * rng.standard_normal(WALKS)
        before = one.day
        weight += likelihood_of(special.expit(special.logit(0.03) + walk), one)
    share = np.exp(weight - weight.max())
    truly = float(np.log(share.mean()) + weight.max())
    share /= share.sum()
    mean = float((share * walk).sum())
    spread = float(np.sqrt((share * (walk - mean) ** 2).sum()))
    assert found.log_likelihood[0] == pytest.approx(truly, abs=0.08)
    assert found.mean[0, 0] == pytest.approx(mean, abs=0.1)
    assert np.sqrt(found.variance[0, 0]) == pytest.approx(spread, rel=0.1)


def test_a_grower_who_says_much_is_heard_so() -> None:
    severity = np.full((2, 1, 5, 2), 0.03)
    much = filtered([look(2, 9.0)], severity, np.array([0.0, 1.1]))
    assert much.log_likelihood[1] > much.log_likelihood[0]
    assert much.mean[1, 0] < much.mean[0, 0]


def test_what_chance_adds_has_the_size_of_the_walk() -> None:
    throws = np.random.default_rng(2).standard_normal((20_000, 1, 60))
    even = np.full((20_000, 1, 61, 2), 0.1)
    run = special.logit(by_chance(even, throws)[:, 0, :, 0]) - special.logit(0.1)
    assert np.all(run[:, 0] == 0)
    keep = np.exp(-1 / PULLED_BACK_DAYS)
    for day in (7, 14, 60):
        var = WEEK_SD**2 / 7 * (1 - keep ** (2 * day)) / (1 - keep**2)
        assert run[:, day].std() == pytest.approx(np.sqrt(var), rel=0.03)


def test_today_goes_on_from_the_last_look() -> None:
    severity = np.full((4_000, 1, 20, 2), 0.03)
    found = filtered([look(10, 5.0)], severity, np.zeros(4_000))
    away = thrown(found, 17, [np.random.default_rng(1)])
    spread = np.sqrt(found.variance[0, 0] + WEEK_SD**2)
    assert away.mean() == pytest.approx(found.mean[0, 0], abs=0.05)
    assert away.std() == pytest.approx(spread, rel=0.05)


def test_nothing_stays_nothing_and_no_leaf_is_taken_twice() -> None:
    assert np.all(moved(np.zeros((2, 2)), np.full((2, 2), 3.0)) == 0)
    past = np.full((1, 1, 5, 2), 0.2)
    curve = bent(past, np.full((1, 1), 1.0))
    assert curve[0, 0, 0, 0] == pytest.approx(0.2) and np.all(np.diff(curve[0, 0, :, 0]) > 0)
    seen, hidden = np.full((1, 1, 2), 0.9), np.full((1, 1, 2, 3), 0.1)
    more = alike(hidden, np.full((1, 1, 2), 0.3), seen)
    assert np.all(seen + more.sum(-1) <= 1 + 1e-12)
