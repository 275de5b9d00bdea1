"""Crop coefficient: shape of the curve, scaling and refusals."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.crop_coefficient import adjusted_kc, climate_step, kc_on_day, scaled_stages

# FAO-56 tables 11, 12 and 17 as transcribed in an open library: stages and coefficients.
ROWS = {
    "tomato": ((30, 40, 45, 30), (0.6, 1.15, 0.80), 145),
    "cucumber": ((20, 30, 40, 15), (0.6, 1.00, 0.75), 105),
    "courgette": ((20, 30, 25, 15), (0.5, 0.95, 0.75), 90),
    "green bean": ((15, 25, 25, 10), (0.5, 1.05, 0.90), 75),
    "broccoli": ((35, 45, 40, 15), (0.7, 1.05, 0.95), 135),
    "lettuce": ((20, 30, 15, 10), (0.7, 1.00, 0.95), 75),
    "cabbage": ((40, 60, 50, 15), (0.7, 1.05, 0.95), 165),
    "cauliflower": ((35, 50, 40, 15), (0.7, 1.05, 0.95), 140),
    "carrot": ((20, 30, 30, 20), (0.7, 1.05, 0.95), 100),
}


@pytest.mark.parametrize("crop", ROWS)
def test_curve_of_each_tabled_crop(crop):
    stages, kc, total = ROWS[crop]
    assert sum(stages) == total
    corners = np.cumsum(stages)
    got = kc_on_day([0, *corners, total + 50], stages, kc)
    np.testing.assert_allclose(got, [kc[0], kc[0], kc[1], kc[1], kc[2], kc[2]])
    halfway = kc_on_day((corners[0] + corners[1]) / 2, stages, kc)
    assert halfway == pytest.approx((kc[0] + kc[1]) / 2)


def test_scaled_stages_keep_their_fractions():
    short = scaled_stages((30, 40, 45, 30), 100)
    assert sum(short) == pytest.approx(100)
    assert short[1] / short[0] == pytest.approx(4 / 3)
    with pytest.raises(ValueError, match="longer"):
        scaled_stages((0, 0, 0, 0), 90)


def test_climate_moves_the_middle_and_only_a_moist_end():
    kept = adjusted_kc((0.3, 1.2, 0.35), 5, 30, 2)
    assert kept[0] == 0.3 and kept[2] == 0.35 and kept[1] > 1.2
    assert adjusted_kc((0.3, 1.2, 0.6), 5, 30, 2)[2] > 0.6
    assert climate_step(2, 45, 3) == 0
    assert climate_step(9, 5, 1) == climate_step(6, 20, 1)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        ((5, (1, 2, 3), (1, 1, 1)), "four stage"),
        ((5, (1, 2, 3, 4), (1, 1)), "three coefficients"),
        ((-1, (1, 2, 3, 4), (1, 1, 1)), "before the season"),
        ((5, (1, 2, -3, 4), (1, 1, 1)), "not negative"),
        ((5, (1, 2, 3, 4), (1, np.nan, 1)), "known"),
    ],
)
def test_refusals(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        kc_on_day(*call)
