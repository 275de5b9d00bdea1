"""Produce that insects soil, against hand figures and pieces thrown at random."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.insect_damage import lately, spoiled_share

DAYS = st.lists(st.floats(0, 1e5), min_size=1, max_size=40)


def test_hand_figures_of_the_table() -> None:
    """A twentieth at the figure; two of them leave 0.95 x 0.95; a hundredth takes a fifth of it.

    Five scales for three weeks on a leaf of 400 cm2 are 105 / 400 = 0.2625 d/cm2.
    """
    assert spoiled_share([0.0, 0.26, 0.52], 0.26) == pytest.approx([0, 0.05, 0.0975], abs=1e-12)
    assert spoiled_share(38.4, 190.0) == pytest.approx(0.0103, abs=1e-4)  # -ln(.95) 38.4 / 190
    assert spoiled_share(5 * 21 / 400, 0.26) == pytest.approx(0.0505, abs=1e-4)


def test_the_share_is_that_of_pieces_on_which_something_fell() -> None:
    """Marks thrown on 40,000 pieces at random, as many as the figure means a piece."""
    dice = np.random.default_rng(11)
    marks, pieces = 1.7, 40_000
    struck = np.bincount(dice.integers(0, pieces, int(marks * pieces)), minlength=pieces) > 0
    a_twentieth = -np.log(0.95)  # marks a piece that leave 19 pieces of 20 clean
    error = 4 * np.sqrt(0.25 / pieces)
    assert spoiled_share(marks, a_twentieth) == pytest.approx(struck.mean(), abs=error)


@given(DAYS, st.floats(1e-3, 400))
@settings(max_examples=50, deadline=None)
def test_more_days_soil_more_and_never_more_than_all(days, figure) -> None:
    soiled = spoiled_share(sorted(days), figure)
    assert np.all(np.diff(soiled) >= 0) and soiled.min() >= 0 and soiled.max() <= 1
    assert np.all(spoiled_share(days, 2 * figure) <= spoiled_share(days, figure))


def test_a_figure_of_none_or_days_below_none_are_refused() -> None:
    for days, figure in ((-1.0, 1.0), (1.0, 0.0)):
        with pytest.raises(ValueError, match="negative"):
            spoiled_share(days, figure)


@given(DAYS, st.integers(1, 45))
@settings(max_examples=50, deadline=None)
def test_lately_is_the_sum_of_the_last_days(days, window) -> None:
    by_hand = [sum(days[max(0, n + 1 - window) : n + 1]) for n in range(len(days))]
    assert lately(days, window) == pytest.approx(by_hand, rel=1e-9, abs=1e-6)
