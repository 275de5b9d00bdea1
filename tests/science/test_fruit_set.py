"""Fruit set in heat, worked by hand, and its gap weeks later, against counting days."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.crop_stages import heat_sums
from lattermath.science.fruit_set import SetLimits, fruit_set, set_when_picked

TOMATO = SetLimits(day_max_c=32.0, night_min_c=24.0, mean_c=25.5, cold_night_c=13.0)
BEAN = SetLimits(day_max_c=32.0, night_min_c=21.0)


def test_by_hand() -> None:
    """Bean, 36 by day and 23 by night: (1 - 4/8) x (1 - 2/7)."""
    found = fruit_set(np.array([23.0]), np.array([36.0]), BEAN)
    assert found[0] == pytest.approx(0.5 * 5 / 7)


def test_the_mean_may_hold_it_lower() -> None:
    """Tomato, 34 and 20: the day alone leaves 6/8; the mean of 27 leaves 1 - 1.5/4."""
    assert fruit_set(np.array([20.0]), np.array([34.0]), TOMATO)[0] == pytest.approx(0.625)


def test_cold_nights_cut_tomatoes() -> None:
    assert fruit_set(np.array([10.0]), np.array([24.0]), TOMATO)[0] == pytest.approx(0.5)
    assert fruit_set(np.array([10.0]), np.array([24.0]), BEAN)[0] == 1.0


@given(st.floats(5, 30), st.floats(0, 15), st.floats(0, 10))
def test_more_heat_never_sets_more(t_min: float, span: float, more: float) -> None:
    cool = fruit_set(np.array([t_min]), np.array([t_min + span]), BEAN)
    hot = fruit_set(np.array([t_min + more]), np.array([t_min + more + span]), BEAN)
    assert 0 <= hot[0] <= cool[0] <= 1


def test_missing_weather_stays_missing() -> None:
    assert np.isnan(fruit_set(np.array([np.nan]), np.array([30.0]), BEAN)[0])


def test_the_gap_comes_as_many_days_later_as_the_fruit_needs() -> None:
    """Steady heat of 13 a day and fruit that needs 598: flowers of day 40 are fruit of day 86."""
    heat = heat_sums(np.full((1, 150), 13.0))[:, 1:]
    share = np.ones((1, 150))
    share[0, 37:44] = 0.0
    late = set_when_picked(share, heat, 46 * 13.0)[0]
    assert late.argmin() == 86
    assert late[86] == pytest.approx(0.0, abs=1e-9)
    assert late[:76].min() == 1.0 and late[96:].min() == 1.0
    lost = (1 - late).sum()
    assert lost == pytest.approx(7.0)  # as many days of picking are lost as of flowering


def test_in_cool_weather_the_gap_comes_later_still() -> None:
    daily = np.full((1, 150), 13.0)
    daily[0, 44:] = 6.5
    share = np.ones((1, 150))
    share[0, 37:44] = 0.0
    late = set_when_picked(share, heat_sums(daily)[:, 1:], 46 * 13.0)[0]
    assert 120 < late.argmin() < 135  # 3 warm days, then 43 more of them at half the pace
