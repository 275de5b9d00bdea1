"""Water in cups, against common practice and against a cup emptied in small steps."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.cup_water import days_of_water


def test_a_full_cup_in_heat_wants_water_daily_or_twice_a_day() -> None:
    """Common practice: 200 ml, full, hot days of 5 to 7 mm; one left for two or three days dies."""
    assert 0.5 <= days_of_water(200, 1.0, 7.0) <= days_of_water(200, 1.0, 5.0) <= 1.0
    assert days_of_water(200, 1.0, 3.0) < 2.0
    assert days_of_water(200, 0.0, 4.0) > 2.0  # newly sown


@pytest.mark.parametrize(
    ("cup", "fill", "et0"), [(200, 0.4, 4.0), (500, 1.0, 6.0), (120, 0.9, 2.0)]
)
def test_like_a_cup_emptied_in_small_steps(cup, fill, et0) -> None:
    held_cm3, hours = 0.3 * cup, 0.0
    across_cm = np.sqrt(38 * 4 / np.pi) * (cup / 200) ** (1 / 3)  # one shape, all sizes
    while held_cm3 > 0:
        a_step_cm = et0 / 10 / 240  # in a tenth of an hour
        held_cm3 -= a_step_cm * np.pi / 4 * across_cm**2 * (1 + 3 * fill)
        hours += 0.1
    assert days_of_water(cup, fill, et0) == pytest.approx(hours / 24, abs=0.01)


def test_bigger_cups_last_longer_and_fuller_ones_shorter() -> None:
    assert days_of_water(500, 1.0, 5.0) > days_of_water(200, 1.0, 5.0)
    assert days_of_water(200, 1.5, 5.0) == days_of_water(200, 1.0, 5.0) < days_of_water(200, 0.5, 5)
