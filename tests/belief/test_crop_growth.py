"""Growth in draws, against walking one draw day by day, and against the table's own season."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import N_DRAWS, autumn, dice, steady

from lattermath.belief.crop_growth import (
    CropUnknowns,
    GrowingSeason,
    bearing_kg,
    begun_on,
    draw_unknowns,
    picking_age,
)


def _grown(season: GrowingSeason, crop: str, how: str, column: int):  # type: ignore[no-untyped-def]
    traits, climate = season.traits(crop), season.climate(crop)
    unknowns = draw_unknowns(traits, N_DRAWS, dice(crop))
    begun = begun_on(how, column, N_DRAWS)  # type: ignore[arg-type]
    age = picking_age(traits, climate, unknowns, begun)
    return traits, unknowns, age, bearing_kg(climate, unknowns, age, 3)


def test_in_the_weather_of_the_table_days_and_yields_are_the_tables() -> None:
    """Steady 23 C, long bright days: cucumbers bear 28 to 35 days after setting out (table)."""
    season = steady(23.0)
    traits, unknowns, age, kg = _grown(season, "cucumber_slicing", "set out", 20)
    first = (age >= 0).argmax(axis=1) - 20
    assert first.min() >= 25 and first.max() <= 39  # 28 to 35, and a check of 2 to 7 days for 4
    assert 28 <= np.median(first) <= 35
    assert kg.sum(axis=1) == pytest.approx(3 * unknowns.plant_kg)
    low, high = traits.season_kg
    assert (unknowns.plant_kg >= low).all() and (unknowns.plant_kg <= high).all()


def test_one_draw_walked_day_by_day() -> None:
    """Kale in a cooling autumn: heat gathered, age and yield of each day by plain arithmetic.

    Its days are counted at 17 C, and it grows no faster in warmth: a day of 11 and 23 C gives
    17 - 4.4 = 12.6, and no day more.
    """
    season = autumn()
    weather, draw = season.weather, 17
    traits, unknowns, age, _ = _grown(season, "kale", "set out", 110)
    future = weather.future_of[draw]
    start = 110 + round(unknowns.check_days[draw])
    need = traits.from_set_out
    assert need.days == (30, 45) and need.heat == pytest.approx((30 * 12.6, 45 * 12.6))
    wanted = 12.6 * (30 + 15 * unknowns.need[draw] - 4)
    gathered = 0.0
    for column in range(start, weather.n_days):
        assert age[draw, column] == pytest.approx((gathered - wanted) / 12.6)
        cold = min(max(weather.t_min[future, column], traits.base_c), traits.upper_c)
        warm = min(max(weather.t_max[future, column], traits.base_c), traits.upper_c)
        gathered += min((cold + warm) / 2 - 4.4, 12.6)


def test_tender_crops_end_with_the_frost_of_their_own_future() -> None:
    season = autumn()
    weather = season.weather
    traits, _, _, kg = _grown(season, "cucumber_slicing", "set out", weather.today - 20)
    ended = 0
    for draw in range(0, N_DRAWS, 9):
        nights = weather.t_min[weather.future_of[draw]]
        killed = np.flatnonzero(
            (nights <= traits.kill_c) & (np.arange(len(nights)) >= weather.today)
        )
        if len(killed):
            ended += 1
            assert kg[draw, killed[0] :].sum() == 0
    assert ended > 5 and kg.sum() > 0


def test_a_hot_week_leaves_a_gap_in_the_tomatoes_weeks_later() -> None:
    """Cornell column (read): a gap in ripe fruit about six weeks after the heat (A6: 40 to 60)."""
    plain, hot = steady(23.0, n_days=220), steady(23.0, n_days=220)
    spell = slice(60, 67)
    hot.weather.t_max[0, spell], hot.weather.t_min[0, spell] = 39.0, 27.0
    bears = hot.climate("tomato_indeterminate").bears / plain.climate("tomato_indeterminate").bears
    gap = int(bears[0].argmin())
    assert 40 <= gap - 63 <= 60
    assert bears[0, gap] < 0.4
    assert bears[0, :90].min() > 0.95


def test_late_plantings_are_slower_than_early_ones() -> None:
    """The same crop set out in June and in August: the later one takes longer and gives less."""
    season = autumn()
    early, late = season.weather.column(season.weather.day(70)), 125
    _, _, first_age, first_kg = _grown(season, "summer_squash", "set out", early)
    _, _, last_age, last_kg = _grown(season, "summer_squash", "set out", late)
    days = [np.median((age >= 0).argmax(axis=1)) - start
            for age, start in ((first_age, early), (last_age, late))]  # fmt: skip
    assert days[1] > days[0]
    assert np.median(last_kg.sum(axis=1)) < np.median(first_kg.sum(axis=1))


def test_draws_depend_on_the_name_and_not_on_the_order_of_asking() -> None:
    season = autumn()
    one = draw_unknowns(season.traits("kale"), N_DRAWS, dice("crop a"))
    draw_unknowns(season.traits("kale"), N_DRAWS, dice("crop b"))
    again = draw_unknowns(season.traits("kale"), N_DRAWS, dice("crop a"))
    for field in CropUnknowns.__dataclass_fields__:
        assert (getattr(one, field) == getattr(again, field)).all()


def test_the_season_is_turned_round_in_the_south() -> None:
    """55 days after the solstice are 15 August in the north and 14 February in the south."""
    north, south = steady(first=date(2025, 1, 1), n_days=365), steady(first=date(2025, 1, 1))
    turned = replace(south.weather, southern=True)
    assert north.weather.days_after_solstice()[north.weather.column(date(2025, 8, 15))] == 55
    assert turned.days_after_solstice()[turned.column(date(2025, 2, 14))] == 55


def test_a_start_before_the_weather_begins_is_ahead_by_those_days() -> None:
    season = steady(23.0)
    traits, climate = season.traits("pepper_sweet"), season.climate("pepper_sweet")
    unknowns = draw_unknowns(traits, N_DRAWS, dice("x"))
    late = picking_age(traits, climate, unknowns, begun_on("set out", 0, N_DRAWS))
    early = picking_age(traits, climate, unknowns, begun_on("set out", -10, N_DRAWS))
    assert (early - late)[:, 50:100] == pytest.approx(10.0)
