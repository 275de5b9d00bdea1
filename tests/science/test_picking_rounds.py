"""What is eaten of fruit that passes size, against a planting walked fruit by fruit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.picking_rounds import eaten_share


def walked(n_days, picks, cleared, hangs, slows, starts, last):
    """One plant day by day: a list of the fruit that hangs, by the day it came to size."""
    hanging, stripped = [], last if last is not None else 0
    eaten = np.zeros(n_days)
    for day in range(n_days + 1):
        if day in picks:
            for grown, amount in hanging:
                if day - grown <= hangs:
                    eaten[grown] = amount
            hanging, stripped = [], day
        elif day in cleared:
            stripped = day  # what will be past size is taken off, the rest may still be eaten
        if day == n_days:
            break
        if day < starts:
            continue
        since = day - (stripped if starts == 0 and last is not None else max(stripped, starts))
        hanging.append((day, 1 - slows if since > hangs else 1.0))
    return eaten


@settings(max_examples=200, deadline=None)
@given(
    picks=st.sets(st.integers(0, 40), max_size=12),
    cleared=st.sets(st.integers(0, 40), max_size=5),
    hangs=st.integers(1, 8),
    slows=st.floats(0, 1),
    starts=st.integers(0, 20),
    last=st.none() | st.integers(-9, 0),
)
def test_like_a_plant_walked_fruit_by_fruit(picks, cleared, hangs, slows, starts, last) -> None:
    bears = np.arange(40)[None, :] >= starts
    ours = eaten_share(bears, picks, cleared, hangs, slows, last)[0] * bears[0]
    assert ours == pytest.approx(walked(40, picks, cleared - picks, hangs, slows, starts, last))


def test_picked_in_time_all_is_eaten_and_a_missed_visit_costs() -> None:
    bears = np.ones((1, 21), dtype=bool)
    every_third = eaten_share(bears, range(3, 40, 3), (), 3, 0.4)
    missed = eaten_share(bears, [3, 6, 12, 15, 18, 21], (), 3, 0.4)
    assert every_third.sum() == 21
    assert missed.sum() == pytest.approx(21 - 3 - 2 * 0.4)  # three lost, then slow for two days


def test_a_bar_costs_the_fruit_and_taking_it_off_spares_the_plant() -> None:
    bears = np.ones((1, 20), dtype=bool)
    left = eaten_share(bears, [2, 12, 14, 16, 18, 20], (), 3, 0.5)
    off = eaten_share(bears, [2, 12, 14, 16, 18, 20], [4, 6, 8, 10], 3, 0.5)
    assert left[0, 2:9].sum() == off[0, 2:9].sum() == 0
    assert left[0, 9:12].sum() == pytest.approx(1.5)
    assert off[0, 9:12].sum() == 3


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="share"):
        eaten_share(np.ones((1, 3), dtype=bool), [1], (), 3, 1.5)
