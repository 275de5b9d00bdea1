"""What feeding costs: only what is still to be picked, and no more than there is."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from lattermath.planning.stakes import Stakes
from lattermath.planning.thrown_away import Thrown, fit_after

DRAWS, PLANTINGS, DAYS, STAGES = 3, 2, 6, 2
COUNTS = arrays(np.float64, (DRAWS, PLANTINGS, DAYS + 1, STAGES), elements=st.floats(0, 1e5))
BEARING = arrays(np.float64, (PLANTINGS, DAYS), elements=st.floats(0, 30))
BITES = np.array([[1e-4, 0.0], [3e-6, 2e-5]])


def one_by_one(counts: np.ndarray, bearing: np.ndarray) -> np.ndarray:
    """Day after day, picking what the bites until then have left. No array arithmetic."""
    lost = np.zeros((DRAWS, PLANTINGS))
    for draw in range(DRAWS):
        for place in range(PLANTINGS):
            left = 1.0
            for day in range(DAYS):
                for stage in range(STAGES):
                    left *= np.exp(-BITES[place, stage] * counts[draw, place, day + 1, stage])
                lost[draw, place] += bearing[place, day] * (1 - left)
    return lost


@given(COUNTS, BEARING)
@settings(max_examples=60, deadline=None)
def test_lost_is_what_day_by_day_picking_misses(counts, bearing) -> None:
    lost = Stakes(BITES, bearing).lost(counts)
    assert lost == pytest.approx(one_by_one(counts, bearing), rel=1e-9, abs=1e-9)
    assert np.all(lost <= bearing.sum(1) + 1e-9) and np.all(lost >= 0)


@given(COUNTS, BEARING)
@settings(max_examples=60, deadline=None)
def test_at_these_prices_all_that_feed_cost_what_is_lost(counts, bearing) -> None:
    """The sum of an integral: the mean price times all bites is the whole loss."""
    stakes = Stakes(BITES, bearing)
    paid = (stakes.prices(counts) * counts).sum((2, 3))
    assert paid == pytest.approx(stakes.lost(counts), rel=1e-6, abs=1e-6)


@given(COUNTS, BEARING, st.integers(0, DAYS), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_fewer_insects_never_cost_more(counts, bearing, day, share) -> None:
    stakes, fewer = Stakes(BITES, bearing), counts.copy()
    fewer[:, :, day] *= share
    assert np.all(stakes.lost(fewer) <= stakes.lost(counts) + 1e-9)


def test_what_was_picked_before_is_safe_and_what_feeds_after_the_last_pick_costs_nothing() -> None:
    bearing = np.array([[0.0, 5.0, 0.0, 0.0, 0.0, 0.0]] * PLANTINGS)
    late = np.zeros((1, PLANTINGS, DAYS + 1, STAGES))
    late[:, :, 3:] = 1e6
    stakes = Stakes(BITES, bearing)
    assert not stakes.lost(late).any()
    prices = stakes.prices(late)
    assert prices[0, 0, 1, 0] > 0 and not prices[:, :, 3:].any()


def test_where_nobody_feeds_the_first_bite_costs_its_share_of_all_to_come() -> None:
    bearing = np.array([[1.0, 2.0, 3.0, 4.0, 0.0, 0.0]] * PLANTINGS)
    prices = Stakes(BITES, bearing).prices(np.zeros((1, PLANTINGS, DAYS + 1, STAGES)))
    assert prices[0, 0, :, 0] == pytest.approx(1e-4 * np.array([0, 10, 9, 7, 4, 0, 0]))


# What is thrown away of what hangs: two days on one planting, three on the other.
HANGS, A_BITE = (2, 3), np.array([[3.0, 0.5], [1.0, 0.0], [0.2, 20.0]])
FIT = arrays(np.float64, (DRAWS, PLANTINGS, DAYS), elements=st.floats(0, 1))
NEW = np.ones((DRAWS, PLANTINGS, DAYS))


def basket_by_basket(counts: np.ndarray, bearing: np.ndarray, fit: np.ndarray) -> np.ndarray:
    """What is carried home, each day's basket sorted by what fed while it hung. No array sums."""
    home = np.zeros((DRAWS, PLANTINGS, DAYS))
    for draw, place, day in np.ndindex(home.shape):
        basket = bearing[place, day] * fit[draw, place, day]
        for fed in range(day + 1):
            bites = sum(BITES[place, s] * counts[draw, place, fed + 1, s] for s in range(STAGES))
            basket *= np.exp(-bites)  # never grew
            if day - fed < HANGS[place]:
                basket *= np.exp(-A_BITE[draw, place] * bites)  # grew, and is thrown away
        home[draw, place, day] = basket
    return home


@given(COUNTS, BEARING, FIT)
@settings(max_examples=60, deadline=None)
def test_what_is_thrown_away_is_lost_once(counts, bearing, fit) -> None:
    stakes = Stakes(BITES, bearing, thrown=Thrown(A_BITE, HANGS, fit))
    home = basket_by_basket(counts, bearing, fit)
    assert bearing * stakes.kept(counts) == pytest.approx(home, rel=1e-9, abs=1e-9)
    still = (bearing * fit).sum(2) - home.sum(2)
    assert stakes.lost(counts) == pytest.approx(still, rel=1e-9, abs=1e-9)


@given(COUNTS, BEARING)
@settings(max_examples=60, deadline=None)
def test_at_these_prices_what_is_thrown_away_is_paid_too(counts, bearing) -> None:
    stakes = Stakes(BITES, bearing, thrown=Thrown(A_BITE, HANGS, NEW))
    paid = (stakes.prices(counts) * counts).sum((2, 3))
    assert paid == pytest.approx(stakes.lost(counts), rel=1e-6, abs=1e-6)


@given(COUNTS, BEARING, st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_prices_between_two_runs_never_ask_more_than_is_lost(counts, bearing, few, mid) -> None:
    """The bound rests on it, with what is thrown away as without."""
    stakes = Stakes(BITES, bearing, thrown=Thrown(A_BITE, HANGS, NEW))
    least, between = counts * few, counts * (few + (1 - few) * mid)
    prices, beside = stakes.chords(counts, least)
    asked = (prices * between).sum((1, 2, 3)) + beside
    assert np.all(asked <= stakes.lost(between).sum(1) * (1 + 1e-6) + 1e-6)


def test_what_fed_before_today_spoils_what_still_hangs_and_no_more() -> None:
    """By hand: heads hang three days, a twentieth for a feeding day."""
    fed = np.array([[5.0, 0.0, 1.0, 2.0]])  # five, four days ago: hangs no more
    fit = fit_after(fed, np.array([1.0]), 3, 4)
    assert fit[0] == pytest.approx([0.95**3, 0.95**2, 1.0, 1.0])


def test_some_draws_keep_their_own_doubt() -> None:
    thrown = Thrown(A_BITE, HANGS, NEW * np.arange(DRAWS)[:, None, None])
    some = Stakes(BITES, np.ones((PLANTINGS, DAYS)), thrown=thrown).some(np.array([2, 0]))
    assert some.thrown is not None and some.thrown.a_bite.tolist() == [[0.2, 20.0], [3.0, 0.5]]
    assert some.thrown.fit[:, 0, 0].tolist() == [2, 0]
