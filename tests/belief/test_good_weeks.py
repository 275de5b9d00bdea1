"""Weeks by chance against the laws they are thrown from."""

import numpy as np
import pytest

from lattermath.belief.good_weeks import WEEK_SD, fruit_kg, weeks_by_chance


@pytest.mark.parametrize("crop", ["summer_squash", "chard", "melon"])
def test_the_mean_stays_and_the_spread_is_that_of_the_law(crop: str) -> None:
    """Log-normal weeks: cv2 = exp(s2) - 1; whole fruit add one over their mean."""
    weekly = np.full((40_000, 1), 2.0)
    found = weeks_by_chance(weekly, crop, np.random.default_rng(1))
    assert found.mean() == pytest.approx(2.0, rel=0.02)
    one = fruit_kg(crop) or 0.0
    cv2 = np.exp(WEEK_SD**2) - 1 + one / 2.0 * 1.04
    assert found.var() / 4.0 == pytest.approx(cv2, rel=0.06)


def test_nothing_stays_nothing() -> None:
    assert not weeks_by_chance(np.zeros((50, 3)), "eggplant", np.random.default_rng(2)).any()
