"""Monocyclic disease: flax wilt of the APS pages on temporal epidemiology (read).

Checks-diseases 8.4: 18 to 98 % at 10 to 60 d; the page prints a slope of 0.076, and 0.0013 for 57
propagules a gram.
"""

import numpy as np
import pytest

from lattermath.science.logistic_growth import monocyclic_rate

DAYS = [10, 20, 30, 40, 50, 60]
WILTED = np.array([0.18, 0.56, 0.82, 0.91, 0.96, 0.98])


def test_the_line_and_its_slope() -> None:
    printed = [0.198, 0.821, 1.715, 2.408, 3.219, 3.912]
    assert -np.log(1 - WILTED) == pytest.approx(printed, abs=6e-4)
    slope = monocyclic_rate(DAYS, WILTED)
    assert slope == pytest.approx(0.0756, abs=5e-5)
    assert slope == pytest.approx(np.polyfit(DAYS, printed, 1)[0], abs=1e-5)
    assert slope / 57 == pytest.approx(0.0013, abs=5e-5)
