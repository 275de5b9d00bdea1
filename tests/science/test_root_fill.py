"""Cups: scaling with volume, the window, and the cost of waiting, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.root_fill import (
    OverAge,
    cup_heat,
    cup_state,
    nursery_days,
    nursery_degree_days,
)

CUCUMBER = (156.0, 208.0, 234.0)  # ready, past ready and coiled at base 12 C (table)
COST = OverAge(delay_days_a_week=4.0, early_loss_a_week=0.10, degree_days_a_week=91.0)


def test_two_weeks_at_25_c_fill_the_reference_cup() -> None:
    """Trade fact: about 14 days; 14 x (25 - 12) = 182 degree-days."""
    heat = cup_heat(*CUCUMBER, cup_ml=200.0)
    assert heat.full == pytest.approx(182.0)
    assert nursery_days(heat.full, 25.0, 12.0, 32.0) == pytest.approx(14.0)


def test_a_cup_of_eight_times_the_volume_takes_about_twice_as_long() -> None:
    """The cube root of 8 is 2; the exponent 0.33 makes it 1.986."""
    small, large = cup_heat(*CUCUMBER, 100.0), cup_heat(*CUCUMBER, 800.0)
    assert large.full / small.full == pytest.approx(2.0, rel=0.01)


def test_three_weeks_over_age_by_hand() -> None:
    """Past ready at 208; three weeks of 91 later: 12 days of delay and 30 % of early yield."""
    state = cup_state(np.array([208.0 + 3 * 91.0]), cup_heat(*CUCUMBER, 200.0), COST)
    assert state.delay_days[0] == pytest.approx(12.0)
    assert state.early_loss[0] == pytest.approx(0.30)
    assert state.coiled[0]


def test_early_loss_never_grows_past_its_cap() -> None:
    state = cup_state(np.array([208.0 + 9 * 91.0]), cup_heat(*CUCUMBER, 200.0), COST)
    assert state.early_loss[0] == 0.40


@given(st.floats(0, 1000), st.floats(0, 200), st.floats(50, 1000))
def test_more_heat_never_empties_a_cup_or_lowers_its_cost(
    heat: float, more: float, cup_ml: float
) -> None:
    state = cup_state(np.array([heat, heat + more]), cup_heat(*CUCUMBER, cup_ml), COST)
    assert (np.diff(state.fill) >= 0).all() and (state.fill <= 1).all()
    assert (np.diff(state.delay_days) >= 0).all()
    assert state.delay_days[0] == 0 or state.fill[0] == 1


def test_too_cold_to_grow_is_never_ready() -> None:
    assert nursery_days(182.0, 10.0, 12.0, 32.0) is None
    assert nursery_degree_days(np.array([8.0, 20.0, 40.0]), 12.0, 32.0).tolist() == [0.0, 8.0, 20.0]


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="ml"):
        cup_heat(*CUCUMBER, cup_ml=0.0)
    with pytest.raises(ValueError, match="order"):
        cup_heat(208.0, 156.0, 234.0, 200.0)
