"""What stands ready when the reckoned days end: nothing of a harvest is lost or counted twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.belief.season_cases import autumn, dice
from tests.planning.crop_cases import choices

from lattermath.belief import after_season
from lattermath.belief.after_season import READY_SIZE, Stands, stands_after
from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_traits import LIFTED
from lattermath.knowledge.tables import load_tables
from lattermath.planning import fates, new_plants
from lattermath.planning.fates import keeping
from lattermath.planning.keep_or_replace import Table, decide
from lattermath.planning.lifted_later import later_says
from lattermath.science.harvest_curve import daily_yield
from lattermath.vocabulary.plot import Household, Planting, SeedPacket, Want

LEEKS = Planting("leeks", "Leeks", "leek", 30, "c", set_out=date(2025, 6, 20))
CUCUMBERS = replace(LEEKS, key="cucumbers", crop="cucumber_slicing")


def of(planting: Planting, today: date = date(2025, 8, 5), **over: float):  # type: ignore[no-untyped-def]
    season = autumn(today, **over)  # type: ignore[arg-type]
    belief = believe(planting, season, [], dice)
    return season, belief


def bright(planting: Planting):  # type: ignore[no-untyped-def]
    """The same in full light, no frost near."""
    season = autumn(date(2025, 8, 5), coldest_c=8.0)
    full = np.full(season.weather.n_days, 25.0)
    season = GrowingSeason(load_tables(), replace(season.weather, radiation_mj=full))
    return season, believe(planting, season, [], dice)


def test_the_light_of_the_days_it_grew_on_counts_and_not_that_of_those_it_stands() -> None:
    """Half of full light until first pick, darkness after it, or the other way round."""
    early = replace(LEEKS, set_out=date(2025, 5, 1))
    season, belief = bright(early)
    at_most = 30 * belief.unknowns.plant_kg
    ready, late = (int(f(belief.first_pick_column())) for f in (np.min, np.max))
    assert 0 < ready < late < season.weather.n_days
    for light, share in (
        (np.where(np.arange(season.weather.n_days) <= late, 10.0, 0.0), 0.5**0.85),
        (np.where(np.arange(season.weather.n_days) < ready, 20.0, 10.0), None),
    ):
        dim = GrowingSeason(load_tables(), replace(season.weather, radiation_mj=light))
        grown = believe(early, dim, [], dice)
        stands = stands_after(grown.traits, dim, grown.unknowns, grown.age, 30)
        assert stands is not None
        whole = (grown.kg.sum(axis=1) + stands.kg) / at_most
        first = grown.first_pick_column() == ready
        if share is None:
            assert whole[first] == pytest.approx(1.0)
            assert (whole <= 1 + 1e-9).all() and (whole > 0.5**0.85).all()
        else:
            assert whole == pytest.approx(share)


@given(
    share=st.lists(st.floats(0.0, 1.0), min_size=4, max_size=12),
    ends=st.integers(1, 12),
    later=st.integers(0, 12),
)
def test_a_frost_that_comes_later_lowers_no_harvest_of_plants_that_mend_or_fail(
    share: list[float], ends: int, later: int
) -> None:
    """A tenth of the rest is picked a day at the share of that day, until the frost."""
    traits, days = autumn().traits("leek"), len(share)

    def harvest(column: int) -> float:
        a_day = 0.9 ** np.arange(column) * 0.1
        stands = Stands(
            traits, np.array([0.9**column]), np.array([days - column]), 0, 1.0, (1.0, 2.0)
        ).of_days(np.array([share]))
        return float((a_day * share[:column]).sum() + stands.kg[0])

    one = min(ends, days)
    assert harvest(min(one + later, days)) >= harvest(one) - 1e-12


def test_what_is_picked_by_the_curve_and_what_is_lifted_after_it_are_the_whole_harvest() -> None:
    """Of full-grown plants that no frost ends: day by day, and at the end, to the gram."""
    season, belief = bright(LEEKS)
    stands = stands_after(belief.traits, season, belief.unknowns, belief.age, 30)
    assert stands is not None
    u = belief.unknowns
    curve = daily_yield(belief.age, u.peak_days, u.end_days, 30 * u.plant_kg).sum(axis=1)
    grown = belief.age[:, -1] >= 0
    assert grown.any()
    assert (curve + stands.kg)[grown] == pytest.approx((30 * u.plant_kg)[grown])


def test_plants_that_are_not_full_grown_count_as_far_as_they_grew_and_small_ones_not_at_all() -> (
    None
):
    """Ages set by hand: a planting that began 100 days before first pick."""
    season, belief = bright(LEEKS)
    n = len(belief.age)
    for at_end, share in ((-10.0, 0.9), (-29.0, 0.71), (-31.0, 0.0), (-100.0, 0.0)):
        age = np.linspace(-100.0, at_end, belief.age.shape[1])[None, :].repeat(n, axis=0)
        stands = stands_after(belief.traits, season, belief.unknowns, age, 30)
        assert stands is not None
        assert stands.kg == pytest.approx(share * 30 * belief.unknowns.plant_kg, rel=1e-6)
    assert READY_SIZE == 0.7


def test_a_killing_frost_ends_it_on_its_day() -> None:
    """In a winter that falls below what leeks live through, the age of that day rules."""
    season, belief = of(LEEKS, coldest_c=-25.0)
    ends = after_season._ends(belief.traits, season)
    weather = season.weather
    assert (ends < weather.n_days).all()
    for future in range(0, len(ends), 7):
        night = weather.t_min[future]
        before = night[weather.today : ends[future]]
        assert night[ends[future]] < belief.traits.damage_c + 5 and (before > -25).all()
    stands = stands_after(belief.traits, season, belief.unknowns, belief.age, 30)
    assert stands is not None
    column = ends[weather.future_of]
    at_end = belief.age[np.arange(len(belief.age)), column]
    young = 1 - at_end / belief.age.min(axis=1) < READY_SIZE
    assert (stands.kg[(at_end < 0) & young] == 0).all()


def test_only_what_is_lifted_whole_stands_and_each_has_its_weeks_in_the_tables() -> None:
    season, belief = of(CUCUMBERS)
    assert stands_after(belief.traits, season, belief.unknowns, belief.age, 4) is None
    for crop in LIFTED:
        low, high = load_tables().crops[crop].weeks_after_first_frost.span
        assert 0 < low < high, crop


def without(patch: pytest.MonkeyPatch) -> None:
    for room in (fates, new_plants):
        patch.setattr(room, "stands_after", lambda *asked: None)


def test_leeks_are_not_given_up_for_what_bears_sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    """With what is lifted in winter reckoned they stay; without it they would go."""
    season = autumn(date(2025, 7, 20), warmest_c=22.0)
    table = Table(Household(2, (Want("leek", 4.0), Want("bean_bush", 8.0))))
    packets = (SeedPacket("bean_bush", 200),)
    worn = replace(LEEKS, vigour="tired")
    kept = decide(choices(season, worn, packets=packets), table)
    assert kept.verdict.verdict in ("let run", "fight")
    without(monkeypatch)
    assert decide(choices(season, worn, packets=packets), table).verdict.verdict == "replace"


def test_it_is_said_from_when_to_lift_and_how_long_it_stands() -> None:
    season, belief = of(LEEKS)
    outlook = keeping(choices(season, LEEKS))[0]
    assert outlook.after is not None
    parts = sum(kg.sum(axis=1) for _, kg in outlook.parts)
    assert outlook.kg() == pytest.approx(parts + outlook.after.kg)
    says = later_says(outlook.after, season)
    day = season.weather.day(outlook.after.ready)
    assert f"{day.day} {day:%b}" in says
    assert "8 to 20 weeks after the first frost" in says and "«-12 C»" in says
    assert later_says(None, season) == "" and belief.planting.key == "leeks"
