"""Severity values: what unknown hours leave open, gaps between bands, sums that call for sprays."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.disease_severity_values import (
    rain_favourable,
    sprays_due,
    tom_cast,
    tom_cast_bounds,
    wallin,
)

nan = np.nan
warmth = st.lists(st.integers(8, 34), min_size=24, max_size=24)


def test_gaps_of_the_tables_are_closed() -> None:
    """Half up to a whole degree for one; half-open bands for the other (judgement, checks 1, 3)."""
    assert tom_cast([12.49, 12.5, 17.49, 17.5, 29.49, 29.5], 8).tolist() == [0, 1, 1, 1, 1, 0]
    assert tom_cast([20.49, 20.5], 7).tolist() == [1, 2]
    assert wallin([7.19, 7.2, 11.69, 11.7, 15.09, 15.1, 26.6, 26.61], 16).tolist() == [
        0,
        1,
        1,
        2,
        2,
        3,
        3,
        0,
    ]


def test_hours_begun_do_not_count() -> None:
    assert tom_cast(22, [2.9, 3.0]).tolist() == [0, 1]
    assert wallin(20, [9.9, 10.0]).tolist() == [0, 1]


def test_unknown_gives_unknown_but_for_no_wet_hour() -> None:
    for score in (tom_cast, wallin):
        assert np.array_equal(score([nan, 20, nan, 35], [0, nan, 9, nan]), [0, nan, nan, nan], True)
    with pytest.raises(ValueError, match="0 to 24"):
        tom_cast(20, 25)
    assert wallin(20, 40) == 4


@given(warmth, st.data())
def test_bounds_hold_every_way_the_unknown_hours_may_have_been(heat, data) -> None:
    wet = data.draw(st.lists(st.sampled_from([0.0, 1.0]), min_size=24, max_size=24))
    unknown = data.draw(st.sets(st.integers(0, 23), max_size=5))
    values = set()
    for filling in product([0.0, 1.0], repeat=len(unknown)):
        filled = np.array(wet)
        filled[list(unknown)] = filling
        hours = filled.sum()
        mean = (filled * heat).sum() / hours if hours else nan
        values.add(float(tom_cast(mean, hours)))
    told = np.array(wet)
    told[list(unknown)] = nan
    low, high = tom_cast_bounds(told, heat)
    assert low[0] <= min(values) and max(values) <= high[0]
    if len(unknown) <= 1:
        assert {low[0], high[0]} == {min(values), max(values)}


def test_a_wet_hour_without_temperature_has_no_bounds() -> None:
    low, high = tom_cast_bounds(np.ones(24), np.full(24, nan))
    assert np.isnan(low[0]) and np.isnan(high[0])


def test_an_unknown_day_makes_every_sum_unknown() -> None:
    with pytest.raises(ValueError, match="day 2"):
        sprays_due([3, 3, nan, 3])


def test_the_sum_begins_anew_at_every_spray() -> None:
    """By hand: 36 on day 8; 17 more are passed on day 13, not with the 1 left over on day 12."""
    assert sprays_due([4] * 16, next_at=17) == [8, 13]


def test_rain_favourable_days_by_hand() -> None:
    """Hyre's rule walked by hand: ten days of rain make 30 mm only from the tenth on."""
    low, high = np.full(14, 12.0), np.full(14, 22.0)
    rain = np.full(14, 3.0)
    low[11], rain[13] = 7.1, 0.0
    found = rain_favourable(low, high, rain)
    assert np.isnan(found[:9]).all()
    assert found[9:].tolist() == [1, 1, 0, 1, 0]
    assert rain_favourable(low, high + 20, rain)[10] == 0  # a mean of 27 C
    assert rain_favourable([5.0], [20.0], [9.0]).tolist() == [0]  # the night alone rules it out
