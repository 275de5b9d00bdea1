"""Leaves are colder than the screen in clear nights, and as cold in cloudy ones."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.ground_frost import leaf_minimum


def test_clear_nights_by_the_rule_and_cloudy_ones_not_at_all() -> None:
    assert leaf_minimum(1.5, 16.0) == pytest.approx(-0.5)  # rule: 2 C, within 1 to 4
    assert leaf_minimum(1.5, 5.0) == pytest.approx(1.5)
    assert leaf_minimum(1.5, 9.5) == pytest.approx(0.5)  # half way


def test_never_warmer_and_never_further_than_the_rule() -> None:
    low = np.linspace(-10, 20, 61)[:, None]
    high = low + np.linspace(0, 30, 31)[None, :]
    fall = low - leaf_minimum(low, high)
    assert (fall >= 0).all() and (fall <= 2.0).all()
    assert (np.diff(fall, axis=1) >= 0).all()
