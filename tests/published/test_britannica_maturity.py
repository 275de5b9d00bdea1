"""Days to market stage and age of the fruit from bloom.

Source: Encyclopaedia Britannica, Vegetable farming, table (read; checks-crops A6). The middle of
each crop's data must lie inside or within 7 days of the range.
"""

from __future__ import annotations

import pytest

from lattermath.belief.crop_traits import Start, crop_traits
from lattermath.knowledge.tables import load_tables

DAYS: dict[str, tuple[Start, int, int]] = {
    "bean_bush": ("sown", 50, 60),
    "cucumber_slicing": ("sown", 50, 70),
    "eggplant": ("set out", 75, 90),
    "melon": ("sown", 80, 120),
    "okra": ("sown", 60, 60),
    "pea_fall": ("sown", 60, 75),
    "pepper_sweet": ("set out", 70, 80),
    "summer_squash": ("sown", 45, 60),
    "sweet_corn": ("sown", 75, 100),
    "tomato_indeterminate": ("set out", 70, 90),
    "broccoli": ("set out", 50, 80),
    "cabbage": ("set out", 70, 100),
    "carrot": ("sown", 70, 80),
    "chard": ("sown", 50, 60),
    "radish": ("sown", 25, 50),
    "spinach": ("sown", 40, 50),
    "turnip": ("sown", 45, 60),
}
FRUIT_AGE = {
    "bean_bush": (7, 10),
    "cucumber_slicing": (5, 20),
    "eggplant": (20, 40),
    "melon": (30, 45),
    "okra": (4, 7),
    "pea_fall": (10, 15),
    "pepper_sweet": (45, 60),
    "summer_squash": (3, 7),
    "sweet_corn": (20, 27),
    "tomato_determinate": (45, 60),
    "tomato_indeterminate": (45, 60),
}


def _traits(crop: str):  # type: ignore[no-untyped-def]
    return crop_traits(load_tables(), crop)


@pytest.mark.parametrize("crop", DAYS)
def test_days_to_market_stage(crop: str) -> None:
    start, low, high = DAYS[crop]
    assert low - 7 <= sum(_traits(crop).need(start).days) / 2 <= high + 7


@pytest.mark.parametrize("crop", FRUIT_AGE)
def test_first_flower_plus_fruit_age_is_first_pick(crop: str) -> None:
    traits = _traits(crop)
    low, high = FRUIT_AGE[crop]
    need = traits.from_set_out or traits.from_sowing
    age = sum(traits.fruit_heat) / 2 / need.per_day
    assert low - 7 <= age <= high + 7
