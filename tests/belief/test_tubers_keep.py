"""Tubers under the soil: frost and drought stop what would form, and unmake nothing.

Truth: plain arithmetic on one draw, and what every grower of potatoes knows.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import dice, steady

from lattermath.belief.after_season import stands_after
from lattermath.belief.crop_belief import CropBelief, believe
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.desk.drought import dried
from lattermath.vocabulary.plot import Planting


def potatoes(season: GrowingSeason, age_days: int) -> CropBelief:
    weather = season.weather
    sown = weather.day(weather.today) - timedelta(age_days)
    return believe(Planting("p", "P", "potato", 10, sown=sown), season, [], dice)


def with_night(season: GrowingSeason, column: int, low_c: float) -> GrowingSeason:
    t_min = season.weather.t_min.copy()
    t_min[:, column] = low_c
    return GrowingSeason(season.tables, replace(season.weather, t_min=t_min))


def total(season: GrowingSeason, belief: CropBelief) -> np.ndarray:
    """What is lifted from today on, what stands after the season with it. [kg]"""
    after = stands_after(belief.traits, season, belief.unknowns, belief.age, 10)
    assert after is not None
    return np.asarray(belief.kg[:, season.weather.today :].sum(axis=1) + after.kg)


def test_a_frost_that_takes_the_haulm_leaves_the_tubers_that_are_there() -> None:
    """At 15 C, 90 days after planting: each draw as large as warmth has made it by that night."""
    season = steady(15.0, date(2025, 5, 1), 200, 90)
    frosty = with_night(season, season.weather.today, -4.0)
    belief = potatoes(frosty, 89)
    heat_a_day = 15.0 - 4.0
    for draw in (0, 5, 11, 60):
        needs = 65 * heat_a_day + 70 * heat_a_day * belief.unknowns.need[draw]
        share = min(89 * heat_a_day / needs, 1.0)
        size = max(share - 0.5, 0.0) / 0.5
        whole = 10 * belief.unknowns.plant_kg[draw]
        if share < 1.0:
            assert total(frosty, belief)[draw] == pytest.approx(whole * size, rel=0.02)
    sound = total(season, potatoes(season, 89))
    assert 0.2 * sound.mean() < total(frosty, belief).mean() < sound.mean()


def test_shoots_that_frost_takes_in_spring_come_again() -> None:
    season = steady(15.0, date(2025, 4, 1), 250, 40)  # 11 May
    belief, frosty = potatoes(season, 20), with_night(season, 45, -3.0)
    assert total(frosty, potatoes(frosty, 20)).mean() > 0.95 * total(season, belief).mean()
    beans = Planting("b", "B", "bean_bush", 10, sown=date(2025, 5, 1))
    assert believe(beans, frosty, [], dice).kg[:, 40:].sum() == 0.0


def test_a_drought_stops_growth_and_leaves_what_is_there() -> None:
    belief = potatoes(steady(15.0, date(2025, 5, 1), 200, 90), 89)
    nothing = np.zeros((len(belief.kg), belief.kg.shape[1] - belief.today))
    left = dried(belief, nothing).kg[:, belief.today :].sum(axis=1)
    whole = belief.kg[:, belief.today :].sum(axis=1)
    assert 0.1 < left.sum() / whole.sum() < 0.9
    ripe = potatoes(steady(15.0, date(2025, 3, 1), 300, 140), 139)
    none = np.zeros((len(ripe.kg), ripe.kg.shape[1] - ripe.today))
    assert dried(ripe, none).kg.sum() == pytest.approx(ripe.kg.sum())


def test_tubers_hardly_grow_in_heat() -> None:
    """A growers' guide of the Prairie Provinces (read): less above 20 C, hardly any above 30."""
    kg = []
    for mean_c in (17.0, 20.0, 25.0, 30.0):
        season = steady(mean_c, date(2025, 5, 1), 200, 40)
        kg.append(total(season, potatoes(season, 39)).mean())
    assert kg[0] == pytest.approx(kg[1], rel=0.02) and kg[2] < 0.75 * kg[1]
    assert kg[3] < 0.05 * kg[1]
