"""The course of a day: continuity, extremes, and hours measured at three airports."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.hourly_temperature import DENVER_AIR_150CM, hourly_temperature, plain_sine

FINE = np.arange(0, 24, 1 / 60)


def test_reaches_both_extremes_at_their_lags():
    got = hourly_temperature([8.0] * 3, [26.0] * 3, 6.0, 19.0, hours=FINE)[1]
    assert got.max() == pytest.approx(26.0, abs=0.001)
    assert got.min() == pytest.approx(8.0, abs=0.02)
    assert FINE[got.argmax()] == pytest.approx(12.5 + DENVER_AIR_150CM.max_lag, abs=0.03)
    assert FINE[got.argmin()] == pytest.approx(6.0 + DENVER_AIR_150CM.min_lag, abs=0.03)


def test_normalised_curve_never_jumps_and_the_published_one_does():
    low, high = np.array([8.0, 14.0, 3.0, 9.0]), np.array([26.0, 21.0, 17.0, 30.0])
    smooth = hourly_temperature(low, high, 6.0, 19.0, hours=FINE)[1:3].ravel()
    rough = hourly_temperature(low, high, 6.0, 19.0, normalised=False, hours=FINE)[1:3].ravel()
    assert np.abs(np.diff(smooth)).max() < 0.12
    assert np.abs(np.diff(rough)).max() > 0.5


def test_evening_falls_to_the_next_minimum():
    got = hourly_temperature([10.0, 2.0], [25.0, 12.0], 6.0, 18.0, hours=[23.99, 0.0])
    assert got[0, 0] == pytest.approx(got[1, 1], abs=0.05)
    mild = hourly_temperature([10.0, 10.0], [25.0, 25.0], 6.0, 18.0, hours=[23.99])
    assert got[0, 0] < mild[0, 0]


@settings(max_examples=40, deadline=None)
@given(st.floats(-10, 25), st.floats(0, 20), st.floats(4, 8), st.floats(16, 21))
def test_stays_between_the_extremes_when_every_day_is_alike(low, swing, rise, fall):
    got = hourly_temperature([low] * 3, [low + swing] * 3, rise, fall)
    assert got.shape == (3, 24)
    assert (got >= low - 1e-9).all() and (got <= low + swing + 1e-9).all()


def test_futures_and_unknown_days():
    low = np.array([[5.0, 6.0, np.nan, 8.0], [5.0, 6.0, 7.0, 8.0]])
    got = hourly_temperature(low, low + 12, [6.0, 6.1, 6.2, 6.3], 19.0)
    assert got.shape == (2, 4, 24)
    assert np.isnan(got[0, 2]).all() and np.isnan(got[0, 1, -1]) and np.isfinite(got[0, 1, 12])
    assert np.isfinite(got[1]).all()


def test_polar_day_falls_back_to_a_sine():
    got = hourly_temperature([4.0], [10.0], np.nan, np.nan)
    np.testing.assert_allclose(got, plain_sine([4.0], [10.0]))
    assert got[0].argmax() in (14, 15)


def test_refuses_a_maximum_below_its_minimum():
    with pytest.raises(ValueError, match="below t_min"):
        hourly_temperature([9.0], [8.0], 6.0, 18.0)
