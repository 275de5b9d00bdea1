"""Life tables worked elsewhere: what r, R0 and generation are, apart from any organism of ours.

Sources (checks-treatments A9): a teaching page with a mosquito cohort (read, and run there); Birch
1948, rice weevil at 29 C (table and results recalled); Kakimoto 2007 (abstract read).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize

from lattermath.science.life_table import growth_of


def test_mosquitoes_of_a_teaching_page() -> None:
    """500 larvae; eggs by age class 6 to 9: R0 4.57, cohort T 6.453, first r .2355, exact .2378."""
    ages = np.array([6.0, 7.0, 8.0, 9.0])
    born = np.array([1600.0, 360.0, 300.0, 25.0]) / 500
    growth = growth_of(ages, born)
    cohort_days = float((ages * born).sum() / born.sum())
    assert growth.r0 == pytest.approx(4.57, abs=5e-3)
    assert cohort_days == pytest.approx(6.452954, abs=5e-7)
    assert math.log(growth.r0) / cohort_days == pytest.approx(0.235476, abs=5e-7)
    assert growth.r == pytest.approx(0.237788, abs=5e-7)
    assert growth.r == pytest.approx(0.2378, abs=5e-5)  # as the page prints it


def test_rice_weevils_of_birch() -> None:
    """R0 113.56, r .76 a week, T 6.2 weeks, finite rate 2.14, as printed; the table recalled."""
    lives = [0.87, 0.83, 0.81, 0.80, 0.79, 0.77, 0.74, 0.66, 0.59, 0.52, 0.45, 0.36, 0.29, 0.25,
             0.19]  # fmt: skip
    laid = [20, 23, 15, 12.5, 12.5, 14, 12.5, 14.5, 11, 9.5, 2.5, 2.5, 2.5, 4, 1]
    ages = np.arange(4.5, 19.0)
    born = np.array(lives) * np.array(laid)
    growth = growth_of(ages, born)
    assert growth.r0 == pytest.approx(113.56, rel=1e-3)
    assert growth.r == pytest.approx(0.76, abs=0.005)
    assert growth.generation_days == pytest.approx(6.2, abs=0.05)  # in weeks here
    assert math.exp(growth.r) == pytest.approx(2.14, abs=0.005)
    root = optimize.brentq(lambda r: (born * np.exp(-r * ages)).sum() - 1, 0.1, 2.0, xtol=1e-14)
    assert growth.r == pytest.approx(root, abs=1e-10)


def test_the_cohort_generation_is_another_number() -> None:
    """8.30 weeks for 6.2: what we print as generation is ln R0 / r, as insect papers do."""
    ages = np.arange(4.5, 19.0)
    born = np.array([17.4, 19.09, 12.15, 10, 9.875, 10.78, 9.25, 9.57, 6.49, 4.94, 1.125, 0.9,
                     0.725, 1, 0.19])  # fmt: skip
    assert (ages * born).sum() / born.sum() == pytest.approx(8.30, abs=0.005)
    found = growth_of(ages, born)
    assert found.generation_days == pytest.approx(math.log(found.r0) / found.r)


@pytest.mark.parametrize(
    ("r0", "weeks", "r"), [(185.1, 31.2, 0.168), (36.1, 32.7, 0.110)], ids=["aubergine", "tomato"]
)
def test_the_identity_of_kakimoto(r0, weeks, r) -> None:
    """All births at one age T: r is ln R0 / T, .1673 and .1097."""
    growth = growth_of(np.array([weeks]), np.array([r0]))
    assert growth.r == pytest.approx(r, abs=0.001)
    assert growth.generation_days == pytest.approx(weeks)
