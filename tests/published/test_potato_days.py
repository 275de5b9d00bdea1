"""P-days for early blight of potato.

Source: Sands et al. 1979 and Pscheidt and Stevenson 1986 (recalled; curve read in public code);
three days of checks-diseases 8 (computed there).
"""

import pytest

from lattermath.science.disease_severity_values import physiological_days


@pytest.mark.parametrize(
    ("t_min", "t_max", "days"), [(10, 22, 7.712), (14, 26, 8.899), (5, 15, 3.477)]
)
def test_worked_days(t_min: float, t_max: float, days: float) -> None:
    assert physiological_days(t_min, t_max) == pytest.approx(days, abs=0.0005)


def test_the_best_day_gives_ten_and_the_ends_nothing() -> None:
    assert physiological_days([21, 0, 31], [21, 6, 40]).tolist() == [10, 0, 0]
