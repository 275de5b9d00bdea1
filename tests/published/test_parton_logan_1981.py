"""Sine by day, exponential fall by night: worked values of Parton & Logan's curve.

Source: a public test file that works the un-normalised curve (read second-hand), reproduced
independently to five digits. Tolerance 1e-4.
"""

from __future__ import annotations

import pytest

from lattermath.science.hourly_temperature import CAROLINA_AIR, hourly_temperature


@pytest.mark.parametrize(("hour", "expected"), [(11, 23.91954), (20, 20.46866), (3, 13.35971)])
def test_the_un_normalised_curve(hour, expected):
    ours = hourly_temperature(
        [10.0], [30.0], 6.0, 18.0, CAROLINA_AIR, normalised=False, hours=[hour]
    )
    assert ours[0, 0] == pytest.approx(expected, abs=1e-4)
