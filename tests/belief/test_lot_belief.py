"""Standby lots over the draws, against the single-lot answer at one steady warmth."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from tests.belief.season_cases import steady

from lattermath.belief.crop_reckoning import cup_answer
from lattermath.belief.lot_belief import believe_lot
from lattermath.vocabulary.errors import TableError
from lattermath.vocabulary.plot import StandbyLot


@pytest.mark.parametrize(("crop", "cup_ml"), [("cucumber_slicing", 200.0), ("kale", 120.0)])
def test_at_one_warmth_the_lot_is_the_single_answer(crop: str, cup_ml: float) -> None:
    season = steady(24.0)
    weather = season.weather
    for age in (5, 14, 21, 40):
        lot = StandbyLot("l", crop, 6, weather.day(weather.today) - timedelta(days=age), cup_ml)
        belief = believe_lot(lot, season)
        state, single = belief.state(weather.today), cup_answer(belief.traits, cup_ml, 24.0, age)
        assert state.fill == pytest.approx(single.fill)
        assert state.delay_days == pytest.approx(single.delay_days)
        assert state.early_loss == pytest.approx(single.early_loss)
        sown = weather.today - age
        assert belief.ready_column() == np.ceil(sown + single.ready_from_day - 1e-9)
        assert belief.coils_column() == np.ceil(sown + single.coils_day - 1e-9)


def test_a_plant_of_the_usual_fill_is_neither_ahead_nor_behind() -> None:
    season = steady(25.0)
    weather = season.weather
    lot = StandbyLot("l", "cucumber_slicing", 6, weather.day(weather.today - 14))
    belief = believe_lot(lot, season)
    assert belief.ahead_days(weather.today) == pytest.approx(0.0)
    assert belief.ahead_days(weather.today - 2) == pytest.approx(-2.0)
    assert (belief.ahead_days(weather.today + 20) < belief.ahead_days(weather.today + 2)).all()


def test_a_lot_older_than_the_weather_is_still_followed() -> None:
    season = steady(25.0)
    lot = StandbyLot("l", "leek", 20, season.weather.first - timedelta(days=20))
    belief = believe_lot(lot, season)
    assert belief.state(0).fill == pytest.approx(belief.state(20).fill / 2, rel=0.01)


def test_a_crop_never_moved_is_refused() -> None:
    season = steady()
    with pytest.raises(TableError, match="never in cups"):
        believe_lot(StandbyLot("l", "carrot", 6, season.weather.first), season)
