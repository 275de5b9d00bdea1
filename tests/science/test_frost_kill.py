"""What a night of frost leaves, against the days that eggs of the greenhouse whitefly endure."""

import numpy as np
import pytest

from lattermath.science.frost_kill import left_of_night


@pytest.mark.parametrize(("low", "least", "most"), [(-3.0, 14, 15), (-6.0, 3, 5)])
def test_eggs_endure_as_long_as_two_pages_say(low: float, least: int, most: int) -> None:
    """Pest table, two pages read: 14 or 15 days at -3 C, 3 or 5 at -6 C; a tenth is left then."""
    a_night = float(left_of_night(low, 14.5))
    assert a_night**most < 0.1 < a_night**least


def test_frost_kills_by_its_depth_and_not_above_it() -> None:
    nights = np.array([2.0, -0.9, -1.0, -2.0, -5.0, -15.0])
    left = left_of_night(nights, 5.0)
    assert list(left[:2]) == [1.0, 1.0]
    assert np.all(np.diff(left[1:]) < 0)
    assert left[-1] < 1e-12
    assert list(left_of_night(nights, np.inf)) == [1.0] * 6


def test_a_hardened_peach_aphid_bears_a_night_of_eleven_degrees_of_frost_once_in_two() -> None:
    """Recalled: half of the hardened green peach aphids live through a night of about -11 C."""
    assert float(left_of_night(-11.0, 110.0)) == pytest.approx(0.5, abs=0.05)
