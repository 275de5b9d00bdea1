"""Days to emergence and stand against soil temperature.

Source: Harrington & Minges 1954, California Agric. Extension mimeo, as reproduced in Knott's
Handbook for Vegetable Growers (1997); read in two independent copies (checks-crops A1).
"""

from __future__ import annotations

import math

import pytest

from lattermath.belief.crop_reckoning import emergence_of
from lattermath.knowledge.tables import load_tables
from lattermath.science.emergence import ThermalLine, emergence_from_line

NG = None  # none germinated
X = math.nan  # not tested
DAYS = {  # at 0, 5, ... 40 C
    "bean_bush": (NG, NG, NG, 16, 11, 8, 6, 6, NG),
    "beet": (X, 42, 17, 10, 6, 5, 5, 5, X),
    "carrot": (NG, 51, 17, 10, 7, 6, 6, 9, NG),
    "cucumber_slicing": (NG, NG, NG, 13, 6, 4, 3, 3, X),
    "lettuce_leaf": (49, 15, 7, 4, 3, 2, 3, NG, NG),
    "okra": (NG, NG, NG, 27, 17, 13, 7, 6, 7),
    "pepper_sweet": (NG, NG, NG, 25, 13, 8, 8, 9, NG),
    "radish": (NG, 29, 11, 6, 4, 4, 3, X, X),
    "tomato_determinate": (NG, NG, 43, 14, 8, 6, 6, 9, NG),
    "pea_fall": (X, 36, 14, 9, 8, 6, 6, X, X),
    # a seed house's copy with further rows (read)
    "summer_squash": (X, X, X, X, 15, 6, 4, 3, X),
    "chard": (X, X, 20, 15, 12, 10, 7, NG, X),
    "broccoli": (X, X, 20, 10, 6, 5, 5, X, X),
}
STAND = {
    "bean_bush": (0, 0, 1, 97, 90, 97, 47, 39, 0),
    "beet": (0, 53, 72, 88, 90, 97, 89, 35, 0),
    "carrot": (0, 48, 93, 95, 96, 96, 95, 74, 0),
    "cucumber_slicing": (0, 0, 0, 95, 99, 99, 99, 99, 49),
    "okra": (0, 0, 0, 74, 89, 92, 88, 85, 35),
    "pepper_sweet": (0, 0, 1, 70, 96, 98, 95, 70, 0),
    "pea_fall": (0, 89, 94, 93, 93, 94, 86, 0, 0),
    "lettuce_leaf": (98, 98, 98, 99, 99, 99, 12, 0, 0),
    "tomato_determinate": (0, 0, 82, 98, 98, 97, 83, 46, 0),
    "radish": (0, 42, 76, 97, 95, 97, 95, 0, 0),
    "eggplant": (0, 0, 0, 0, 21, 53, 60, 0, 0),
    "melon": (0, 0, 0, 0, 38, 94, 90, 0, 0),
    "cabbage": (0, 27, 78, 93, X, 99, X, 0, 0),
    "cauliflower": (0, 0, 58, 60, X, 63, 45, 0, 0),
    "sweet_corn": (0, 0, 47, 97, 97, 98, 91, 88, 10),
    "onion_scallion": (90, 98, 98, 98, 99, 97, 91, 73, 2),
    "spinach": (83, 96, 91, 82, 52, 28, 32, 0, 0),
    "turnip": (1, 14, 79, 98, 99, 100, 99, 99, 88),
}
# Fitted lines of the same table (last column of A1): crop, base, degree-days.
LINES = {
    "bean_bush": (6.4, 144), "beet": (3.1, 109), "carrot": (2.1, 132),
    "cucumber_slicing": (10.4, 59), "lettuce_leaf": (2.8, 47), "pepper_sweet": (10.5, 118),
    "radish": (1.5, 85), "tomato_determinate": (7.5, 103), "pea_fall": (-0.1, 151),
}  # fmt: skip

TABLES = load_tables()


def _days(crop: str, soil_c: float) -> float | None:
    return emergence_of(TABLES, crop, soil_c).days


@pytest.mark.parametrize("crop", DAYS)
def test_days_at_the_tested_soils(crop: str) -> None:
    for soil_c, days in zip(range(0, 45, 5), DAYS[crop], strict=True):
        if days is NG:
            assert _days(crop, soil_c) is None, f"{crop} at {soil_c} C should not come up"
        elif not math.isnan(days):
            assert _days(crop, soil_c) == pytest.approx(days, abs=1e-9)


@pytest.mark.parametrize("crop", STAND)
def test_stand_at_the_tested_soils(crop: str) -> None:
    for soil_c, percent in zip(range(0, 45, 5), STAND[crop], strict=True):
        try:
            found = emergence_of(TABLES, crop, soil_c)
        except ValueError:
            continue  # days were not tested there; refusing is right
        if not math.isnan(percent):
            assert found.stand_percent == pytest.approx(percent, abs=1.0)


@pytest.mark.parametrize("crop", LINES)
def test_between_the_nodes_the_table_agrees_with_the_fitted_line(crop: str) -> None:
    """The line is another method on the same data: 1 day or 15 % from 15 to 25 C."""
    line = ThermalLine(*LINES[crop])
    for soil_c in (15.0, 17.5, 20.0, 22.5, 25.0):
        read, fitted = _days(crop, soil_c), emergence_from_line(soil_c, line).days
        assert read is not None and fitted is not None
        assert read == pytest.approx(fitted, abs=max(1.0, 0.15 * fitted)), f"{crop} at {soil_c}"


def test_emergence_of_a_pickling_cucumber_guide() -> None:
    """NC State pickling-cucumber guide (read): 9-16 days just above 60 F, 5-6 at 70 F; 1 day."""
    just_above, at_70f = _days("cucumber_pickling", 15.6), _days("cucumber_pickling", 21.1)
    assert just_above is not None and 8 <= just_above <= 17
    assert at_70f is not None and 4 <= at_70f <= 7


def test_august_lettuce_must_be_sown_cool() -> None:
    hot = emergence_of(TABLES, "lettuce_leaf", 30.0)
    assert hot.stand_percent == pytest.approx(12, abs=5)


def test_not_tested_is_not_the_same_as_none() -> None:
    """Cucumber was not timed at 40 C though 49 in 100 came up; basil has no row but at 25 C."""
    for crop, soil_c in (("cucumber_slicing", 40.0), ("basil", 15.0)):
        with pytest.raises(ValueError, match="not"):
            _days(crop, soil_c)
