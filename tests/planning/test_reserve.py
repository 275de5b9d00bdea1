"""Cups in reserve: enough of them by the binomial, for what may fail, while they are good."""

from __future__ import annotations

from datetime import date
from math import comb

import numpy as np
import pytest
from tests.belief.season_cases import autumn

from lattermath.belief.crop_reckoning import last_planting_of
from lattermath.belief.lot_belief import believe_lot
from lattermath.planning.cup_sowing import last_useful_sowing
from lattermath.planning.ground import Ground
from lattermath.planning.reserve import (
    EARLY_DAYS,
    MayFail,
    chance_of_enough,
    last_sowings,
    may_fail,
    reserve,
    seeds_for,
)
from lattermath.planning.season_left import usual_frost
from lattermath.science.emergence import seeds_to_sow
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.plot import SeedPacket, StandbyLot, Tin

TODAY = date(2025, 7, 10)
BED = Ground(3.0, "Fabaceae", "", "bed D")


def at_least(wanted: int, seeds: int, share: float) -> float:
    """The binomial summed term by term."""
    return sum(
        comb(seeds, n) * share**n * (1 - share) ** (seeds - n) for n in range(wanted, seeds + 1)
    )


@pytest.mark.parametrize("wanted", [1, 4, 9])
@pytest.mark.parametrize("share", [0.4, 0.75, 1.0])
def test_a_gap_that_is_certain_takes_as_many_seeds_as_the_binomial_says(
    wanted: int, share: float
) -> None:
    every = np.full(200, wanted)
    assert seeds_for(every, share, 0.9, 60) == seeds_to_sow(wanted, share, 0.9)
    assert chance_of_enough(12, share, every) == pytest.approx(at_least(wanted, 12, share))


@pytest.mark.parametrize("fails", [0.2, 0.5, 0.8])
def test_a_gap_that_may_not_open_is_a_mixture(fails: float) -> None:
    """Enough where nothing fails, and else the binomial: (1 - p) + p B."""
    wanted = np.where(np.arange(1000) < 1000 * fails, 4, 0)
    for seeds in (4, 6, 9):
        closed = (1 - fails) + fails * at_least(4, seeds, 0.7)
        assert chance_of_enough(seeds, 0.7, wanted) == pytest.approx(closed)
    assert chance_of_enough(0, 0.7, wanted) == pytest.approx(1 - fails)


def test_no_number_of_seeds_beyond_the_tin_is_told() -> None:
    assert seeds_for(np.full(10, 8), 0.5, 0.9, 5) == 5
    assert seeds_for(np.zeros(10, dtype=int), 0.5, 0.9, 5) == 0


def test_ground_comes_free_in_each_draw_when_nearly_all_is_given() -> None:
    """Three draws by hand: gives a tenth a day for ten days, all on day 4, and on to the frost."""
    season = autumn(TODAY)
    weather = season.weather
    n_left = weather.n_days - weather.today
    kg = np.zeros((weather.n_draws, n_left))
    kg[:, :] = 1.0 / n_left
    kg[0], kg[1] = 0.0, 0.0
    kg[0, :10] = 0.1
    kg[1, 4] = 1.0
    found = may_fail(BED, kg, season)
    assert found.opens[0] == weather.today + 9
    assert found.opens[1] == weather.today + 4
    assert np.isinf(found.opens[2:]).all()
    assert found.within(weather.today, weather.today + 5).sum() == 1


def test_what_ends_close_to_its_own_frost_has_not_failed() -> None:
    season = autumn(TODAY)
    weather = season.weather
    frost = first_frost(weather.t_min, 0.0, weather.today)[weather.future_of]
    kg = np.zeros((weather.n_draws, weather.n_days - weather.today))
    before = np.where(np.arange(weather.n_draws) % 2 == 0, EARLY_DAYS, EARLY_DAYS + 1)
    kg[np.arange(weather.n_draws), (frost - before).astype(int) - weather.today] = 1.0
    assert np.isfinite(may_fail(BED, kg, season).opens).tolist() == (before > EARLY_DAYS).tolist()


def sown_today(crop: str):
    season = autumn(TODAY)
    return season, believe_lot(StandbyLot("reserve", crop, 1, TODAY), season)


def test_only_gaps_that_open_while_the_cups_are_good_count() -> None:
    season, lot = sown_today("kale")
    n_draws = season.weather.n_draws
    early, late = lot.ready_column() - 1, lot.coils_column() + 1
    for column in (early, late):
        nothing = [MayFail(BED, np.full(n_draws, float(column)))]
        assert reserve(nothing, lot, 0, 0.7, 50, 60, 0.9) is None
    half = np.where(np.arange(n_draws) < n_draws / 2, float(lot.ready_column()), np.inf)
    found = reserve([MayFail(BED, half)], lot, 0, 0.7, 50, 60, 0.9)
    assert found is not None
    plants = lot.traits.plants_on(BED.area_m2)
    assert found.fails == ((BED, pytest.approx(0.5)),)
    assert found.enough >= 0.9
    assert chance_of_enough(found.seeds - 1, 0.7, found.wanted) < 0.9
    assert set(found.wanted.tolist()) == {0, plants}
    assert reserve([MayFail(BED, half)], lot, plants, 0.7, 50, 60, 0.9) is None  # in hand


def test_two_that_fail_in_the_same_summers_want_both_their_plants_then() -> None:
    season, lot = sown_today("kale")
    n_draws = season.weather.n_draws
    ready = float(lot.ready_column())
    first = np.where(np.arange(n_draws) % 2 == 0, ready, np.inf)
    other = np.where(np.arange(n_draws) % 2 == 1, ready, np.inf)
    plants = lot.traits.plants_on(BED.area_m2)
    together = reserve([MayFail(BED, first), MayFail(BED, first)], lot, 0, 0.7, 999, 999, 0.9)
    apart = reserve([MayFail(BED, first), MayFail(BED, other)], lot, 0, 0.7, 999, 999, 0.9)
    assert together is not None and apart is not None
    assert together.wanted.max() == 2 * plants and apart.wanted.max() == plants
    assert together.seeds > apart.seeds


def test_what_nobody_would_need_once_in_seven_summers_is_not_sown() -> None:
    season, lot = sown_today("kale")
    n_draws = season.weather.n_draws
    seldom = np.where(np.arange(n_draws) < 0.12 * n_draws, float(lot.ready_column()), np.inf)
    assert reserve([MayFail(BED, seldom)], lot, 0, 0.7, 50, 60, 0.9) is None


def test_the_seeds_told_are_enough_nine_times_in_ten_by_simulation() -> None:
    season, lot = sown_today("kale")
    rng = np.random.default_rng(7)
    n_draws = season.weather.n_draws
    opens = np.where(rng.random(n_draws) < 0.6, float(lot.ready_column() + 1), np.inf)
    found = reserve([MayFail(BED, opens)], lot, 0, 0.65, 50, 60, 0.9)
    assert found is not None and found.seeds < 60
    draws = rng.integers(0, n_draws, 40_000)
    enough = rng.binomial(found.seeds, 0.65, 40_000) >= found.wanted[draws]
    assert enough.mean() == pytest.approx(found.enough, abs=0.01)


def test_last_sowings_count_back_from_the_frost_of_this_place() -> None:
    season = autumn(TODAY)
    packets = (SeedPacket("kale", 50), SeedPacket("bean_bush", 50), SeedPacket("chard", 0))
    found = {one.crop: one for one in last_sowings(Tin(packets), season)}
    assert set(found) == {"kale", "bean_bush"}
    frost = usual_frost(season)
    beans = season.traits("bean_bush")
    in_place = season.weather.day(int(last_planting_of(beans, "sown", frost).day))
    assert (found["bean_bush"].in_cups, found["bean_bush"].in_place) == (None, in_place)
    cups = season.weather.day(last_useful_sowing(season.traits("kale"), season))
    assert found["kale"].in_cups == cups
