"""Rain on deposits between two bounds an order of magnitude apart: both are carried.

Sources (checks-treatments A12): mancozeb on apple seedlings under simulated heavy rain, 5 mm took
90, 75 and 80 % after 2, 4 and 24 h of drying, and more rain added little (abstract read, authors
recalled); extension notes on protectants, 25 mm takes half and over 50 mm nearly all, rain within
2 h of spraying is a loss (read in excerpts).
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.deposit_wear import wear_of
from lattermath.knowledge.tables import load_tables
from lattermath.science.deposits import deposit_left, dried_left, first_day_left, fresh_left

TABLES = load_tables()
TAKEN_BY_5_MM = {2: 0.90, 4: 0.75, 24: 0.80}  # hours of drying: share taken


def test_five_millimetres_of_heavy_rain_on_a_fresh_deposit() -> None:
    """One curve for all three: inside what was measured after 2, 4 and 24 hours."""
    taken = 1.0 - float(fresh_left(5.0))
    assert min(TAKEN_BY_5_MM.values()) <= taken <= max(TAKEN_BY_5_MM.values())


def test_more_rain_adds_little() -> None:
    """A hyperbola and no exponential: the second 5 mm take less than a seventh of the first."""
    left = fresh_left([0.0, 5.0, 10.0])
    assert left[1] - left[2] < (left[0] - left[1]) / 7
    exponential = left[1] ** 2
    assert left[2] > 2 * exponential


def test_a_dried_deposit_loses_half_by_25_and_all_by_50_mm() -> None:
    assert dried_left(25.0, 25.0, 0.0) == pytest.approx(0.5)
    assert dried_left([50.0, 60.0], 25.0, 0.0) == pytest.approx([0.0, 0.0])


@pytest.mark.parametrize("mm", [1.0, 5.0, 12.0, 25.0])
@pytest.mark.parametrize("hours", [2.0, 4.0, 12.0, 24.0])
def test_the_first_day_lies_between_the_two(mm: float, hours: float) -> None:
    ours = float(first_day_left(mm, hours, 25.0, 0.0))
    assert fresh_left(mm) - 1e-9 <= ours <= dried_left(mm, 25.0, 0.0) + 1e-9


def test_the_longer_it_dries_before_rain_is_likely_the_more_is_left() -> None:
    slow, quick = (float(first_day_left(5.0, hours, 25.0, 0.0)) for hours in (12.0, 2.0))
    assert slow < quick


@pytest.mark.parametrize("active", ["sulfur", "chlorothalonil", "copper_hydroxide"])
def test_protectants_of_the_table_are_worn_so(active: str) -> None:
    """5 mm on the day of the spray cost more than 5 mm three days later; both less than all."""
    wear, days = wear_of(TABLES.methods[active]), 10
    at_once, later = np.zeros(days), np.zeros(days)
    at_once[0], later[3] = 5.0, 5.0
    ends = [wear.left(7.0, rain, 0, {})[-1] for rain in (at_once, later, np.zeros(days))]
    assert 0 < ends[0] < ends[1] < ends[2]


def test_first_order_loss_of_the_public_table() -> None:
    """A12: carbaryl 7 d, malathion 1 d, permethrin 8 d, chlorothalonil 5 d, after a week."""
    half_lives, left = (7.0, 1.0, 8.0, 5.0), (0.500, 0.0078, 0.545, 0.379)
    ours = [deposit_left(h, np.ones(8), np.zeros(8))[7] for h in half_lives]
    assert ours == pytest.approx(left, abs=5e-4)
