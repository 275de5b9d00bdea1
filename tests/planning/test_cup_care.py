"""Cups want water: who comes, what is lost, and how many to sow for what slugs and birds take."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import autumn

from lattermath.belief.lot_belief import believe_lot
from lattermath.planning.cup_care import cup_care, longest_gap
from lattermath.planning.standby import lot_advice
from lattermath.planning.young_losses import LOSSES, losses_of, stands
from lattermath.vocabulary.plot import StandbyLot

SEASON = autumn(date(2025, 8, 5))
TODAY = SEASON.weather.today
THRICE = [TODAY + k for k in (0, 2, 4, 7, 9, 11, 14)]
FULL = StandbyLot("young", "cucumber_slicing", 5, date(2025, 7, 24), 200.0, "plot")


def test_a_full_cup_left_on_a_plot_visited_thrice_a_week_is_counted_as_lost() -> None:
    """Common practice, as the trade has it; the same lot at home or with a waterer lives."""
    lot = believe_lot(FULL, SEASON)
    assert cup_care(lot, SEASON, THRICE).lost
    assert "lost" in lot_advice(lot, SEASON, THRICE).says
    for kept in (replace(FULL, where="home"), replace(FULL, watered="daily")):
        care = cup_care(believe_lot(kept, SEASON), SEASON, THRICE)
        assert not care.lost and care.every_days <= 1.5


def test_a_bigger_younger_lot_lives_where_somebody_comes_daily() -> None:
    big = replace(FULL, cup_ml=1500.0, sown=date(2025, 8, 1))
    assert not cup_care(believe_lot(big, SEASON), SEASON, range(TODAY, TODAY + 15)).lost


def test_the_longest_gap_is_the_longest_without_water() -> None:
    assert longest_gap(THRICE, TODAY) == 3
    assert longest_gap([], TODAY) == 14
    assert longest_gap([TODAY + 5], TODAY) == 9


def test_a_lot_on_the_plot_is_kept_apart_and_hardened() -> None:
    says = lot_advice(believe_lot(replace(FULL, watered="daily"), SEASON), SEASON, THRICE).says
    assert "apart from sick plants" in says and "harden" in says


@pytest.mark.parametrize("crop", ["cucumber_slicing", "kale", "bean_bush"])
def test_what_stands_is_what_a_walk_over_many_plants_leaves(crop: str) -> None:
    losses = losses_of(SEASON.traits(crop), SEASON, TODAY)
    rng = np.random.default_rng(5)
    alive = np.ones(200_000, dtype=bool)
    for one in losses:
        alive &= rng.random(len(alive)) > one.share
    assert stands(losses) == pytest.approx(alive.mean(), abs=0.004)


def test_birds_take_brassicas_and_leave_cucumbers() -> None:
    birds = next(one for one in LOSSES if one.cause == "birds")
    assert birds in losses_of(SEASON.traits("kale"), SEASON, TODAY)
    assert birds not in losses_of(SEASON.traits("cucumber_slicing"), SEASON, TODAY)
