"""Light and yield. Source: Marcelis et al. 2006, Acta Horticulturae 711 (abstract read; A12.4)."""

from __future__ import annotations

import numpy as np

from lattermath.science.late_light import yield_share


def test_half_the_light_leaves_50_to_62_percent() -> None:
    assert 0.50 <= float(yield_share(np.array([10.0]))[0]) <= 0.62


def test_one_percent_less_light_is_seven_tenths_to_one_percent_less_fruit() -> None:
    low, high = yield_share(np.array([14.85, 15.0]))
    assert 0.007 <= 1 - low / high <= 0.010
