"""Frost odds: calendars, censored years, and a simulation beside the closed forms."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science import frost_odds as frost


@pytest.mark.parametrize("southern", [False, True])
def test_season_days_follow_the_calendar_of_a_common_year(southern):
    start = date(2023, 2, 1) if southern else date(2022, 8, 1)
    for number in range(365):
        day = start + timedelta(days=number)
        assert frost.season_day(day.month, day.day, southern) == number
        assert frost.month_and_day(number, southern) == (day.month, day.day)


def test_leap_day_does_not_move_the_season():
    assert frost.season_day(2, 29) == frost.season_day(2, 28)
    assert frost.day_of_common_year(12, 31) == 365
    with pytest.raises(ValueError, match="month"):
        frost.day_of_common_year(13, 1)


def test_first_frost_by_year():
    low = np.full((4, 150), 5.0)
    low[0, 90] = 0.0
    low[1, 70:] = np.nan
    low[1, 60] = -1.0
    low[3, 149] = -3.0
    got = frost.first_frosts(low)
    np.testing.assert_array_equal(got, [90, np.nan, np.inf, 149])


def test_censored_years_lower_every_chance():
    days = [300, 310, 320, 330, np.inf]
    fit = frost.fit_frosts(days)
    assert fit.frost_free_share == pytest.approx(0.2)
    assert frost.frost_chance(fit, 400) == pytest.approx(0.8, abs=1e-6)
    assert frost.frost_day(fit, 0.9) == np.inf
    assert frost.frost_day(fit, 0.4) == pytest.approx(315)
    assert frost.empirical_day(days, 0.5) == 320 and frost.empirical_day(days, 0.9) == np.inf
    assert frost.empirical_chance(days, [299, 320, 365]) == pytest.approx([0, 0.6, 0.8])


def test_unknown_years_are_left_out_and_not_counted_as_free():
    known, gappy = frost.fit_frosts([300, 320]), frost.fit_frosts([300, np.nan, 320])
    assert known == gappy


def test_records_too_thin_to_answer():
    never = frost.fit_frosts([np.inf, np.inf])
    assert frost.frost_chance(never, [300, 350]) == pytest.approx([0, 0])
    assert frost.frost_day(never, 0.5) == np.inf
    assert np.isnan(frost.frost_chance(frost.fit_frosts([310]), 305))
    step = frost.fit_frosts([310, 310])
    assert frost.frost_chance(step, [309, 310]) == pytest.approx([0, 1])
    with pytest.raises(ValueError, match="no year"):
        frost.fit_frosts([np.nan])
    with pytest.raises(ValueError, match="between 0 and 1"):
        frost.frost_day(step, 1.0)


def test_condition_on_none_yet_by_simulation():
    rng = np.random.default_rng(4)
    days = np.where(rng.random(400_000) < 0.1, np.inf, rng.normal(320, 16, 400_000))
    fit = frost.FrostFit(320, 16, 0.1, 30)
    still = days[days > 310]
    ours = frost.given_none_yet(frost.frost_chance(fit, 325), frost.frost_chance(fit, 310))
    assert ours == pytest.approx((still <= 325).mean(), abs=0.004)
    assert np.isnan(frost.given_none_yet(1.0, 1.0))


def test_plotting_positions_and_years():
    days, position = frost.plotting_positions([320, 300, np.inf, 310])
    np.testing.assert_array_equal(days, [300, 310, 320, np.inf])
    assert position == pytest.approx([0.2, 0.4, 0.6, 0.8])
    assert frost.chance_over_years(0.1, 10) == pytest.approx(0.6513, abs=1e-4)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.one_of(st.floats(250, 360), st.just(np.inf)), min_size=4, max_size=40),
    st.floats(0.02, 0.98),
)
def test_day_and_chance_undo_each_other(days, chance):
    fit = frost.fit_frosts(days)
    if not fit.sd_days > 0.01:
        return
    day = frost.frost_day(fit, chance)
    if np.isfinite(day):
        assert frost.frost_chance(fit, day) == pytest.approx(chance, abs=1e-9)
    grid = frost.frost_chance(fit, np.linspace(200, 400, 50))
    assert (np.diff(grid) >= 0).all() and grid[-1] <= 1 - fit.frost_free_share + 1e-12
