"""Seed sown in place in soil too hot or too cold: Harrington and Minges 1954 through the season."""

from __future__ import annotations

import pytest
from tests.belief.season_cases import steady

from lattermath.planning.season_left import comes_up


@pytest.mark.parametrize(
    ("crop", "soil_c", "share"),
    [("lettuce_leaf", 30.0, 0.12), ("lettuce_leaf", 20.0, 0.99), ("lettuce_leaf", 35.0, 0.0),
     ("spinach", 30.0, 0.32), ("cucumber_slicing", 10.0, 0.0), ("carrot", 20.0, 0.96)],
)  # fmt: skip
def test_the_stand_of_the_table_at_a_steady_warmth(crop: str, soil_c: float, share: float) -> None:
    season = steady(soil_c)
    assert comes_up(crop, season, season.weather.today) == pytest.approx(share, abs=0.01)


def test_what_nobody_tested_is_not_called_dead() -> None:
    season = steady(24.0)
    assert comes_up("arugula", season, season.weather.today) == 1.0
