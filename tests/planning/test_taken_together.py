"""What several take of one crop: day by day what one left the next takes of; nothing twice."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from lattermath.planning.stakes import Stakes
from lattermath.planning.taken_together import (
    Takes,
    costs_together,
    left_by,
    left_in,
    over_all_days,
)

DRAWS, DAYS = 3, 4
BEDS = ("here", "there")
SHARES = arrays(np.float64, (3, DRAWS, 2, DAYS), elements=st.floats(0, 1))
BEARING = arrays(np.float64, (2, DAYS), elements=st.floats(0, 30))


def takers(shares: np.ndarray, bearing: np.ndarray, work: float = 0.0) -> list[Takes]:
    """Three, the second on its plantings in the other order, the third on one of them only."""
    first, second, third = shares
    return [
        Takes(BEDS, first, bearing[None], work),
        Takes(BEDS[::-1], second[:, ::-1], bearing[None, ::-1], work),
        Takes(BEDS[1:], third[:, 1:], bearing[None, 1:], work),
    ]


def eaten_in_turn(shares: np.ndarray, bearing: np.ndarray, draw: int, who: set[int]) -> float:
    """Each day's crop handed from one to the next, one portion pile at a time."""
    eaten = 0.0
    for bed in range(2):
        for day in range(DAYS):
            pile = float(bearing[bed, day])
            for one in sorted(who):
                if one == 2 and bed == 0:
                    continue
                bite = pile * (1 - float(shares[one, draw, bed, day]))
                pile, eaten = pile - bite, eaten + bite
    return eaten


@given(SHARES, BEARING)
@settings(max_examples=60, deadline=None)
def test_together_they_take_what_is_handed_from_one_to_the_next(shares, bearing) -> None:
    told = costs_together(takers(shares, bearing, 1.5))
    by_hand = [eaten_in_turn(shares, bearing, draw, {0, 1, 2}) + 4.5 for draw in range(DRAWS)]
    assert told == pytest.approx(by_hand, rel=1e-9, abs=1e-9)
    assert np.all(told <= bearing.sum() + 4.5 + 1e-9)


@given(SHARES, BEARING)
@settings(max_examples=60, deadline=None)
def test_gains_told_one_by_one_never_come_to_more_than_there_is(shares, bearing) -> None:
    """Of each: what the same futures give with it and without it, all others as they are."""
    every = takers(shares, bearing)
    total = np.zeros(DRAWS)
    for n, one in enumerate(every):
        rest = left_by(other for m, other in enumerate(every) if m != n)
        told = costs_together([one], rest)
        others = {0, 1, 2} - {n}
        by_hand = [
            eaten_in_turn(shares, bearing, draw, {0, 1, 2})
            - eaten_in_turn(shares, bearing, draw, others)
            for draw in range(DRAWS)
        ]
        assert told == pytest.approx(by_hand, rel=1e-9, abs=1e-9)
        total += told
    assert np.all(total <= bearing.sum() + 1e-9)


@given(SHARES, BEARING, st.floats(0, 5))
@settings(max_examples=60, deadline=None)
def test_stakes_beside_others_lose_what_these_leave(shares, bearing, insects) -> None:
    """Feeding on what others left is what all of them cost, less what the others cost alone."""
    bites = np.array([[0.3], [0.02]])
    sums = np.full((DRAWS, 2, DAYS + 1, 1), insects)
    stakes, others = Stakes(bites, bearing), takers(shares, bearing)
    left = left_in(left_by(others), BEDS, DAYS)
    mine = Takes(BEDS, stakes.kept(sums), stakes.bears(), 0.0)
    whole = costs_together([*others, mine]) - costs_together(others)
    assert stakes.beside(left).lost(sums).sum(1) == pytest.approx(whole, rel=1e-9, abs=1e-9)
    assert stakes.beside(left).some(np.array([2])).lost(sums[:1]).sum() == pytest.approx(
        whole[2], rel=1e-9, abs=1e-9
    )


def test_what_nobody_else_lives_on_is_left_whole() -> None:
    half = np.full((DRAWS, 1, DAYS), 0.5)
    left = left_by([Takes(("here",), half, np.ones((1, 1, DAYS)), 0.0)])
    found = left_in(left, BEDS, DAYS)
    assert found is not None and (found[:, 0] == 0.5).all() and (found[:, 1] == 1.0).all()
    assert left_in(left, ("elsewhere",), DAYS) is None
    assert (over_all_days(half[:, :, :2], DAYS) == half).all()
