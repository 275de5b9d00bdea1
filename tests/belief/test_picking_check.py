"""Pickings against what was to be expected: fair ones agree, others are said and explained."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats
from tests.belief.season_cases import dice

from lattermath.belief.good_weeks import FRUIT_KG
from lattermath.belief.picking_check import NEW_DAYS, USUAL, picking_odds
from lattermath.belief.picking_fit import PICKING_SD, SHARED_SD, Pickings
from lattermath.planning.picking_told import picking_odds_says

TODAY = date(2025, 8, 5)
DAYS = tuple(TODAY - timedelta(days=k) for k in (12, 9, 6, 2))
ONE = FRUIT_KG["summer_squash"]
N = 1000
EVEN = np.zeros(N)
YIELD = np.exp(np.random.default_rng(3).normal(0.3, 0.5, N))  # kg a picking, by candidate
SIZE = 1 / PICKING_SD**2


def pickings(picked: list[float], one: float | None = ONE, by_season: float = 1.0) -> Pickings:
    n = len(picked)
    expected = np.repeat(YIELD[None], n, axis=0)
    return Pickings(DAYS[-n:], np.array(picked), expected, np.full(n, by_season), one)


def odds(picked: list[float], one: float | None = ONE, by_season: float = 1.0):
    return picking_odds(pickings(picked, one, by_season), EVEN, TODAY, dice("odds"))


def test_chance_to_bring_anything_home_by_another_library() -> None:
    mean = YIELD[None] / ONE
    some = pickings([1.0]).of_any(YIELD[None])
    assert np.exp(some) == pytest.approx(1 - stats.nbinom.pmf(0, SIZE, SIZE / (SIZE + mean)))


def test_fair_pickings_are_at_odds_once_in_twenty() -> None:
    """400 seasons of four pickings by another thrower; with two questions asked, 2 to 8 %."""
    rng, called = np.random.default_rng(11), 0
    for _ in range(400):
        kg = rng.choice(YIELD) * np.exp(SHARED_SD * rng.normal())
        fruit = np.zeros(4)
        while not fruit.all():  # who brings nothing home writes nothing
            again = rng.negative_binomial(SIZE, SIZE / (SIZE + kg / ONE), 4)
            fruit = np.where(fruit > 0, fruit, again)
        called += odds((fruit * ONE).tolist()) is not None
    assert 0.02 <= called / 400 <= 0.08


def test_the_last_of_them_is_held_against_the_earlier_ones() -> None:
    """Twenty kilograms of one planting are much; after three such pickings they are not."""
    alone = odds([20.0])
    assert alone is not None and alone.check.more and not alone.whole
    few = odds([2.5, 2.2, 2.8, 0.12])
    assert few is not None and not few.whole and few.kg == 0.12
    assert few.check.low > 0.12 and not few.check.more


def test_what_explains_it_by_another_library() -> None:
    """Odds of a miss beside chance: both by plain sums over candidates."""
    found = odds([0.2, 0.2, 0.3, 9.0])
    assert found is not None
    one = odds([12.0])
    assert one is not None
    off = np.exp(SHARED_SD * dice("odds").standard_normal(N))

    def fit(times: float) -> float:
        mean = off * YIELD * times / ONE
        size = SIZE
        number = 12.0 / ONE
        log = size * np.log(size / (size + mean)) + number * np.log(mean / (size + mean))
        return float(np.exp(log).mean())

    by_hand = USUAL["left before"] * (fit(1.5) + fit(2.5)) / 2 / fit(1.0)
    shares = dict(one.ranked)
    assert shares["left before"] / shares["chance"] == pytest.approx(by_hand, rel=1e-6)
    assert sum(shares.values()) == pytest.approx(1.0)


def test_leaves_are_not_missed_and_the_season_explains_only_where_it_took_some() -> None:
    leaves = odds([0.02], None)
    assert leaves is not None and "missed" not in dict(leaves.ranked)
    assert "season" not in dict(leaves.ranked)
    hot = odds([0.02], None, by_season=0.4)
    assert hot is not None and dict(hot.ranked)["season"] > 0.1


def test_old_pickings_are_not_spoken_of() -> None:
    later = TODAY + timedelta(days=NEW_DAYS)
    assert picking_odds(pickings([20.0]), EVEN, later, dice("odds")) is None


def test_words() -> None:
    few = odds([2.5, 2.2, 2.8, 0.12])
    assert few is not None
    says = picking_odds_says(few)
    assert says.startswith("«0.12 kg» picked on 3 Aug, where the earlier pickings and the tables")
    assert "fruit missed under the leaves" in says and "had been left" not in says
    assert "To tell: " in says and "look under the leaves" in says
    much = odds([20.0])
    assert much is not None
    assert "had been left" in picking_odds_says(much) and "ails" not in picking_odds_says(much)
