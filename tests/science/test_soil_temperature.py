"""Soil temperature: step and wave responses against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.soil_temperature import soil_temperature


def test_step_response_is_geometric():
    got = soil_temperature(np.full(30, 20.0), 0.2, start=10.0)
    np.testing.assert_allclose(got, 20 - 10 * 0.8 ** np.arange(1, 31))


def test_damps_and_delays_a_wave_as_the_filter_should():
    n, period, r = np.arange(4000), 40.0, 0.2
    got = soil_temperature(15 + 5 * np.cos(2 * np.pi * n / period), r)[2000:]
    gain = abs(r / (1 - (1 - r) * np.exp(-2j * np.pi / period)))  # transfer function
    assert (got.max() - got.min()) / 2 == pytest.approx(5 * gain, rel=0.01)


def test_about_the_eleven_day_mean_of_real_swings():
    rng = np.random.default_rng(3)
    air = 18 + np.convolve(rng.normal(0, 3, 400), np.ones(3) / 3, "same")
    mean = np.convolve(air, np.ones(11) / 11)[20:400]
    assert np.corrcoef(soil_temperature(air)[20:], mean)[0, 1] > 0.85


def test_canopy_slows_warming_but_not_cooling():
    air = np.array([[25.0] * 5, [5.0] * 5])
    bare, shaded = (soil_temperature(air, start=15.0, leaf_area_index=k) for k in (0.0, 3.0))
    assert (shaded[0] < bare[0]).all()
    np.testing.assert_array_equal(shaded[1], bare[1])


def test_unknown_stays_unknown_and_nonsense_is_refused():
    got = soil_temperature([10.0, np.nan, 12.0])
    assert np.isnan(got[1:]).all() and got[0] == 10
    with pytest.raises(ValueError, match="response"):
        soil_temperature([10.0], 0.0)
