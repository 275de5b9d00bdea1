"""Wallin severity values and the Blitecast matrix.

Sources: table of Wallin 1962 as printed in the open textbook R for Plant Disease Epidemiology
(read); matrix on a vendor's manual that cites Krause, Massie and Hyre 1975 (second-hand); the
rain-favourable day of Hyre 1954 as quoted in public model code (read). Checks-diseases 3.
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.disease_severity_values import blight_advice, wallin
from lattermath.science.leaf_wetness import leaf_wetness, wet_periods

WORKED = [(10, 15, 0), (10, 18, 1), (11, 24, 3), (14, 13, 1), (14, 20, 3), (20, 9, 0)]
WORKED += [(20, 12, 1), (20, 17, 3), (22, 21, 4), (5, 24, 0), (28, 20, 0)]
# Printed bands of hours for 0, 1, 2 and 3; 4 from the next hour on.
PRINTED = {
    9.0: [(0, 15), (16, 18), (19, 21), (22, 24)],
    13.0: [(0, 12), (13, 15), (16, 18), (19, 21)],
    21.0: [(0, 9), (10, 12), (13, 15), (16, 18)],
}
MATRIX = {  # severity below 3, 3, 4, 5, 6, above 6
    "fewer": ["none", "none", "warn", "7-day", "7-day", "5-day"],
    "more": ["none", "warn", "7-day", "5-day", "5-day", "5-day"],
}


def test_worked_periods_and_their_sum() -> None:
    heat, hours, value = zip(*WORKED, strict=True)
    assert wallin(heat, hours).tolist() == list(value)
    assert wallin(heat, hours).sum() == 16


@pytest.mark.parametrize("heat", PRINTED)
def test_every_band(heat: float) -> None:
    for hours in range(48):
        bands = [n for n, (first, last) in enumerate(PRINTED[heat]) if first <= hours <= last]
        assert wallin(heat, hours) == (bands[0] if bands else 4)


def test_the_matrix() -> None:
    for days in range(8):
        row = MATRIX["more" if days >= 5 else "fewer"]
        assert [blight_advice(days, s) for s in (2, 3, 4, 5, 6, 7)] == row
        assert blight_advice(days, 0) == "none" and blight_advice(days, 25) == "5-day"
    assert blight_advice(3, 5) == "7-day"
    assert blight_advice(6, 5) == "5-day"
    assert blight_advice(6, 3) == "warn"
    assert blight_advice(2, 7) == "5-day"


def test_a_long_cold_night_scores_only_when_joined_across_midnight() -> None:
    """The textbook's own slip: by calendar days the coldest row can never reach 4."""
    humid = np.full(48, 60.0)
    humid[10:38] = 95.0  # 28 hours in a row, 14 of each day
    (period,) = wet_periods(leaf_wetness(humid))
    assert wallin(9.0, period.hours) == 4
    assert wallin(9.0, 14) == 0
