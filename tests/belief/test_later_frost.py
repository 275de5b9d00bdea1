"""A later frost never lowers the outlook: properties, over every crop, night and depth.

A cold night does two things: it kills or hurts what stands, and it takes warmth from the day. So
that the first is asked for alone the nights of the weather here are no warmer than a crop's base,
and a colder one takes no warmth; a second test lets it take warmth too.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.belief.season_cases import autumn, dice

from lattermath.belief.after_season import stands_after
from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_traits import LIFTED
from lattermath.knowledge.tables import load_tables
from lattermath.science.harvest_curve import standing_after_frost
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
CROPS = sorted(TABLES.crops)
TODAY = date(2025, 8, 5)
AHEAD = 90  # days
COLDER_THAN_SCREEN = 4.0  # C; more than any leaf falls below it


def with_night(season: GrowingSeason, crop: str, ahead: int, deeper: float) -> GrowingSeason:
    """The same weather with one night, `ahead` days on, that kills the crop by so much."""
    t_min = season.weather.t_min.copy()
    t_min[:, season.weather.today + ahead] = season.traits(crop).kill_c - deeper
    return GrowingSeason(TABLES, replace(season.weather, t_min=t_min))


def outlook(season: GrowingSeason, crop: str, since: int) -> tuple[np.ndarray, np.ndarray]:
    """What is picked from today on, and what is lifted when that is over, (n_draws,). [kg]"""
    bearing = TODAY - timedelta(days=since)
    belief = believe(Planting("p", "P", crop, 4, bearing_since=bearing), season, [], dice)
    picked = belief.kg[:, season.weather.today :].sum(axis=1)
    after = stands_after(belief.traits, season, belief.unknowns, belief.age, 4)
    return picked, np.zeros(len(picked)) if after is None else after.kg


def cool_nights(crop: str) -> GrowingSeason:
    """An autumn with every night at the crop's base, never cold enough to kill."""
    season = autumn(TODAY, coldest_c=10.0)
    traits, weather = season.traits(crop), season.weather
    t_min = np.full_like(weather.t_min, traits.base_c)
    t_max = np.maximum(weather.t_max, traits.base_c + 3.0)
    assert traits.base_c - COLDER_THAN_SCREEN > traits.kill_c
    return GrowingSeason(TABLES, replace(weather, t_min=t_min, t_max=t_max))


killing = {
    "first": st.integers(1, AHEAD - 1),
    "later": st.integers(1, AHEAD),
    "deeper": st.floats(0.0, 15.0),
    "since": st.integers(-40, 20),  # negative: bears so many days from today
}


@settings(max_examples=60, deadline=None)
@given(crop=st.sampled_from(CROPS), **killing)
def test_a_killing_night_that_comes_later_lowers_what_is_picked_in_no_draw(
    crop: str, first: int, later: int, deeper: float, since: int
) -> None:
    season = cool_nights(crop)
    one, other = (
        outlook(with_night(season, crop, day, deeper), crop, since)[0]
        for day in (first, min(first + later, AHEAD))
    )
    assert (other >= one - 1e-9).all()


@settings(max_examples=40, deadline=None)
@given(crop=st.sampled_from(sorted(LIFTED)), **killing)
def test_nor_what_is_picked_and_lifted_together(
    crop: str, first: int, later: int, deeper: float, since: int
) -> None:
    """In the failing light of an autumn, of plants that bear and of plants not yet full grown."""
    season = cool_nights(crop)
    one, other = (
        sum(outlook(with_night(season, crop, day, deeper), crop, since))
        for day in (first, min(first + later, AHEAD))
    )
    assert (other >= one - 1e-9).all()


@pytest.mark.parametrize("crop", CROPS)
def test_where_the_night_takes_warmth_too_the_mean_does_not_fall(crop: str) -> None:
    """On an autumn of its own, with one night of killing frost put every nine days later."""
    season = autumn(TODAY, coldest_c=8.0)
    seen = [outlook(with_night(season, crop, day, 1.0), crop, 3) for day in range(2, 75, 9)]
    picked = [p.mean() for p, _ in seen]
    both = [(p + lifted).mean() for p, lifted in seen]
    for means in (picked, both):
        assert (np.diff(means) >= -1e-3 * max(means)).all(), means
    assert picked[-1] > picked[0]


nights = st.lists(st.floats(-12.0, 20.0), min_size=3, max_size=30)


@given(nights=nights, damage=st.floats(-6.0, 6.0), gap=st.floats(0.2, 6.0), later=st.integers(1, 9))
def test_what_stands_is_never_less_when_the_same_nights_come_later(
    nights: list[float], damage: float, gap: float, later: int
) -> None:
    """Hurting nights as well as killing ones, on every day and not only in the sum."""
    mild = [damage + 5.0] * later
    sooner, put_off = (
        standing_after_frost(np.array([row]), damage - gap, damage)[0]
        for row in (nights + mild, mild + nights)
    )
    assert (put_off >= sooner - 1e-12).all()


@given(nights=nights, warmer=st.floats(0.0, 8.0), damage=st.floats(-6.0, 6.0))
def test_warmer_nights_never_leave_less(nights: list[float], warmer: float, damage: float) -> None:
    cold = np.array([nights])
    kept, more = (standing_after_frost(one, damage - 2.0, damage) for one in (cold, cold + warmer))
    assert (more >= kept - 1e-12).all()
