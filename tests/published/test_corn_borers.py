"""Corn borers a hill, 120 hills a treatment.

Source: Beall 1940 in Bliss and Fisher 1953, table 3 (data and published k read in the
documentation of an open collection of data sets). The published k come from an approximate method:
4 % is allowed. Checks-treatments A7.2.
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.counting import fit_negative_binomial
from lattermath.science.efficacy import survivors_compared

FIRST = {0: 19, 1: 12, 2: 18, 3: 18, 4: 11, 5: 12, 6: 7, 7: 8, 8: 4, 9: 4, 10: 1, 12: 1, 13: 1}
FIRST |= {15: 1, 17: 1, 19: 1, 26: 1}
THIRD = {0: 43, 1: 35, 2: 17, 3: 11, 4: 5, 5: 4, 6: 1, 7: 2, 8: 2}


def hills(frequency: dict[int, int]) -> np.ndarray:
    return np.repeat(list(frequency), list(frequency.values()))


@pytest.mark.parametrize(
    ("frequency", "mean", "likeliest", "published"),
    [(FIRST, 4.0333, 1.503, 1.532), (THIRD, 1.4833, 1.333, 1.333)],
)
def test_fit(frequency, mean: float, likeliest: float, published: float) -> None:
    counts = hills(frequency)
    fit = fit_negative_binomial(counts)
    assert len(counts) == 120
    assert fit.mean == pytest.approx(mean, abs=5e-5)
    assert fit.k == pytest.approx(likeliest, abs=5e-4)
    assert fit.k == pytest.approx(published, rel=0.04)


def test_efficacy_of_the_third_treatment() -> None:
    found = survivors_compared(hills(THIRD), hills(FIRST))
    assert found.percent == pytest.approx(63.2, abs=0.05)
    assert found.low_percent < 63.2 < found.high_percent
