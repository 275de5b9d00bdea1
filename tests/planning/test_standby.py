"""Standby lots and cup sowings: the bench, the gaps, and what the tin lacks."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import autumn, steady
from tests.planning.crop_cases import cups, lots

from lattermath.belief.crop_reckoning import cup_answer
from lattermath.belief.lot_belief import believe_lot
from lattermath.planning.cup_sowing import (
    Gap,
    gap_of,
    last_useful_sowing,
    makes_it,
    not_served,
    nursery_days_before,
)
from lattermath.planning.ground import Ground
from lattermath.planning.standby import lot_advice, sowing_advice
from lattermath.planning.young_losses import losses_of, stands
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.plot import Household, SeedPacket, StandbyLot, Tin

TODAY = date(2025, 8, 5)
HOUSEHOLD = Household(2)
BED = Ground(3.0, "Fabaceae", "", "bed D")


def test_a_ready_lot_says_when_it_coils() -> None:
    season = steady(25.0)
    (lot,) = lots(season, cups(season, 14))
    found = lot_advice(lot, season)
    today = season.weather.day(season.weather.today)
    assert (found.fill, found.delay_days, found.early_loss) == (1.0, 0.0, 0.0)
    assert found.ready_from == today - timedelta(days=2)
    assert found.ready_to == today + timedelta(days=2)
    coils = today + timedelta(days=4)  # 18 days at 25 C (trade fact)
    assert f"coil about {coils:%a} {coils.day}" in found.says


def test_a_young_lot_says_when_it_is_ready_and_an_old_one_what_it_costs() -> None:
    season = steady(25.0)
    young, old = lots(season, cups(season, 5), cups(season, 30))
    assert "ready about" in lot_advice(young, season).says
    late = lot_advice(old, season)
    assert "coiled" in late.says and late.delay_days is not None
    assert late.delay_days == pytest.approx(8.0)  # two weeks past the window


def test_the_last_useful_sowing_is_the_count_back_from_this_places_frost() -> None:
    """Frost, less days to first pick, less the margin, less the days in the cup."""
    season = autumn(TODAY)
    weather = season.weather
    frost = float(np.median(first_frost(weather.t_min, 0.0, weather.today)))
    traits = season.traits("kale")
    last = last_useful_sowing(traits, season)
    set_out = int(frost - 30 - 10)  # kale: 30 days from setting out (early kind), margin 10
    assert last == set_out - nursery_days_before(traits, season, set_out)
    assert last < set_out


def test_days_in_the_cup_are_those_of_the_warmth_before_that_day() -> None:
    season = steady(20.0)
    traits = season.traits("broccoli")
    single = cup_answer(traits, 200.0, 20.0, 0.0)
    middle = (single.ready_from_day + single.ready_to_day) / 2
    assert nursery_days_before(traits, season, 150) == pytest.approx(middle, abs=1)


def test_sow_enough_that_enough_make_it_by_simulation() -> None:
    season = autumn(TODAY)
    gap = Gap(BED, season.weather.today + 26)
    tin = Tin((SeedPacket("chard", 60),), cups=4)
    (found,) = sowing_advice([gap], (), tin, HOUSEHOLD, season)
    assert found.crop == "chard" and found.sow is not None
    chard = season.traits("chard")
    share = makes_it(chard, season).share * stands(losses_of(chard, season, gap.opens))
    rng = np.random.default_rng(4)
    plants = int(found.says.split("; ")[1].split()[0])
    made = (rng.random((20_000, found.sow)) < share).sum(axis=1)
    fewer = (rng.random((20_000, found.sow - 1)) < share).sum(axis=1)
    assert (made >= plants).mean() >= 0.895
    assert (fewer >= plants).mean() < 0.905
    assert found.missing == f"{found.sow - 4} more cups"
    assert found.sow_by is not None and found.sow_by >= TODAY


def test_a_gap_that_a_lot_in_hand_will_fill_wants_no_sowing() -> None:
    season = autumn(TODAY)
    gap = Gap(BED, season.weather.today + 10)
    tin = Tin((SeedPacket("chard", 60),))
    bench = lots(season, cups(season, 10))
    assert sowing_advice([gap], bench, tin, HOUSEHOLD, season) == []
    sick = Ground(3.0, "Cucurbitaceae", "a wilt", "bed D")
    assert len(sowing_advice([Gap(sick, gap.opens)], bench, tin, HOUSEHOLD, season)) == 1


def test_each_lot_serves_one_gap_the_first_to_open() -> None:
    season = autumn(TODAY)
    early, late = Gap(BED, 130), Gap(Ground(2.0, name="bed E"), 150)
    assert not_served([late, early], [(season.traits("kale"), 128)]) == [late]


def test_an_empty_tin_is_told_what_to_get_and_by_when() -> None:
    season = autumn(TODAY)
    gap = Gap(BED, season.weather.today + 21)
    (found,) = sowing_advice([gap], (), Tin(), HOUSEHOLD, season)
    assert found.sow is None and found.missing and found.sow_by is not None
    assert found.sow_by >= TODAY and "seed, by" in found.missing
    weather = season.weather
    last = weather.day(last_useful_sowing(season.traits(found.crop), season))
    assert found.sow_by <= last


def test_a_gap_far_off_is_not_sown_for_yet() -> None:
    season = autumn(date(2025, 7, 1))
    gap = Gap(BED, season.weather.today + 60)
    tin = Tin((SeedPacket("lettuce_leaf", 100),))
    assert sowing_advice([gap], (), tin, HOUSEHOLD, season) == []


def test_hot_lettuce_is_sown_thick_and_cool() -> None:
    """At 30 C 12 in 100 lettuces come up (Harrington & Minges)."""
    hot = steady(29.5)
    traits = hot.traits("lettuce_leaf")
    made = makes_it(traits, hot)
    assert made.too_warm and made.share < 0.25
    assert not makes_it(traits, steady(20.0)).too_warm


def test_ground_comes_free_when_nearly_all_is_picked() -> None:
    season = autumn(TODAY)
    n_left = season.weather.n_days - season.weather.today
    kg = np.zeros((200, n_left))
    kg[:, :20] = 0.05
    gap = gap_of(BED, kg, season)
    assert gap is not None and gap.opens == season.weather.today + 18  # 19 of 20 days are 95 %
    assert gap_of(BED, np.full((200, n_left), 0.1), season) is None  # bears to the frost
    nothing = gap_of(BED, np.zeros((200, n_left)), season)
    assert nothing is not None and nothing.opens == season.weather.today


def test_only_cauliflower_buttons() -> None:
    """An over-age lot says so, and loses heads by the week; cabbage of the same age does not."""
    season = autumn(TODAY)
    old = {
        crop: believe_lot(StandbyLot("l", crop, 6, TODAY - timedelta(days=70)), season)
        for crop in ("cauliflower", "cabbage")
    }
    says = {crop: lot_advice(lot, season).says for crop, lot in old.items()}
    assert "button" in says["cauliflower"] and "button" not in says["cabbage"]
    lost = {
        crop: float(np.median(lot.state(season.weather.today).early_loss))
        for crop, lot in old.items()
    }
    assert lost["cauliflower"] > 3 * lost["cabbage"] > 0
