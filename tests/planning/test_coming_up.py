"""Seed sown in place in soil too hot or too cold: Harrington and Minges 1954 through the season."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import autumn, steady
from tests.planning.crop_cases import choices

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import emergence_of
from lattermath.knowledge.tables import load_tables
from lattermath.planning.cup_sowing import CUP_SURVIVAL, makes_it
from lattermath.planning.fates import FateOutlook
from lattermath.planning.new_plants import replacing_at
from lattermath.planning.season_left import UNTESTED, comes_up
from lattermath.vocabulary.plot import Planting, SeedPacket


@pytest.mark.parametrize(
    ("crop", "soil_c", "share"),
    [("lettuce_leaf", 30.0, 0.12), ("lettuce_leaf", 20.0, 0.99), ("lettuce_leaf", 35.0, 0.0),
     ("spinach", 30.0, 0.32), ("cucumber_slicing", 10.0, 0.0), ("carrot", 20.0, 0.96)],
)  # fmt: skip
def test_the_stand_of_the_table_at_a_steady_warmth(crop: str, soil_c: float, share: float) -> None:
    season = steady(soil_c)
    up = comes_up(crop, season, season.weather.today)
    assert (up.low, up.high) == pytest.approx((share, share), abs=0.01) and not up.untested


def test_what_nobody_tested_is_not_called_dead() -> None:
    season = steady(24.0)
    assert comes_up("arugula", season, season.weather.today).low > 0


TESTED_TO_25 = ("kale", "collard", "leek", "brussels_sprouts", "bok_choy")


@pytest.mark.parametrize("crop", TESTED_TO_25)
def test_soil_warmer_than_anybody_tested_is_counted_wide_and_named(crop: str) -> None:
    """In soil of 30 C, where the emergence kernel refuses, and not at 20 C, where it answers."""
    warm, mild = steady(30.0), steady(20.0)
    with pytest.raises(ValueError, match="25"):
        emergence_of(load_tables(), crop, 30.0)
    up = comes_up(crop, warm, warm.weather.today)
    assert (up.low, up.high) == UNTESTED and 0 < up.low < 0.5 < up.high < 1
    assert up.untested == "in soil that warm" and up.soil_c == 30
    assert comes_up(crop, mild, mild.weather.today).untested == ""
    assert comes_up(crop, steady(6.0), 90).untested == "in soil that cool"
    assert comes_up("kohlrabi", mild, mild.weather.today).untested == "in any soil"


@pytest.mark.parametrize(("warmest", "counts"), [(34.0, set(range(2, 9))), (18.0, {10})])
def test_a_sowing_in_untested_soil_says_so_and_bears_as_many_as_may_come_up(
    warmest: float, counts: set[int]
) -> None:
    """Ten seeds of kale in ground for twelve: two to eight whole plants, or all of them.

    How many bear in a draw is read from what they give beside a sowing of plenty, of which twelve
    come up in every draw.
    """
    worn = Planting("kale", "Kale", "kale", 12, "c", sown=date(2025, 4, 20), vigour="worn")
    season = autumn(date(2025, 8, 5), warmest_c=warmest, coldest_c=8.0)
    few, plenty = (_sown(season, worn, seeds) for seeds in (10, 1000))
    hot = warmest > 25
    assert any("nobody tested" in reason.says for reason in few.reasons) == hot
    assert ("not tested in soil that warm" in few.says) == hot
    bears = plenty.kg() > 0
    found = np.rint(few.kg()[bears] / plenty.kg()[bears] * plenty.plants).astype(int)
    assert plenty.plants >= 12 and set(found) == counts
    assert few.plants == round(float(np.median(found)))


def _sown(season: GrowingSeason, planting: Planting, seeds: int) -> FateOutlook:
    asked = choices(season, planting, packets=(SeedPacket("kale", seeds),))
    (fate,) = (f for f in replacing_at(asked, asked.visits[0]) if f.lot is None and not f.keeps)
    return fate


def test_seed_in_cups_in_untested_warmth_is_a_guess_and_said_to_be() -> None:
    warm, mild = steady(30.0), steady(20.0)
    made = makes_it(warm.traits("kale"), warm)
    assert made.untested == "in soil that warm"
    assert made.share == pytest.approx(sum(UNTESTED) / 2 * CUP_SURVIVAL)
    assert made.share < makes_it(mild.traits("kale"), mild).share
    assert makes_it(mild.traits("kale"), mild).untested == ""
