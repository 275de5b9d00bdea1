"""Stages reached by heat, against walking day by day."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.crop_stages import (
    between,
    day_reached,
    heat_after_check,
    heat_sums,
    likely,
)


def _walk(daily: np.ndarray, start: int, needed: float) -> float:
    """The morning by which the heat since `start` suffices, found by adding day after day."""
    gathered = 0.0
    for column in range(start, len(daily) + 1):
        if gathered >= needed - 1e-9:
            return float(column)
        if column < len(daily):
            gathered += daily[column]
    return np.inf


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1))
def test_day_reached_is_what_walking_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    daily = rng.uniform(0, 15, (12, 40))
    start = rng.integers(0, 40, 12)
    needed = rng.uniform(0, 400, 12)
    found = day_reached(heat_sums(daily), start, needed)
    walked = [_walk(daily[i], int(start[i]), float(needed[i])) for i in range(12)]
    assert found.tolist() == walked


def test_a_stage_that_does_not_exist_is_not_reached_nor_missed() -> None:
    found = day_reached(heat_sums(np.ones((2, 5))), np.zeros(2, np.intp), np.array([np.nan, 9.0]))
    assert np.isnan(found[0]) and np.isinf(found[1])


def test_in_the_weather_of_the_table_the_check_changes_nothing() -> None:
    """28 days of 11 with 4 days of check: 4 idle days, then 24 days of 11."""
    after = heat_after_check(np.array([28 * 11.0]), 11.0, np.array([0.0]))
    found = day_reached(heat_sums(np.full((1, 60), 11.0)), np.array([4]), after)
    assert found[0] == 28


def test_a_plant_set_out_three_days_young_comes_three_days_late() -> None:
    after = heat_after_check(np.array([308.0, 308.0]), 11.0, np.array([0.0, -3.0]))
    found = day_reached(heat_sums(np.full((2, 60), 11.0)), np.array([4, 4]), after)
    assert found[1] - found[0] == 3


def test_the_early_spread_has_its_middle_where_half_the_draws_lie() -> None:
    uniform = (np.arange(100_000) + 0.5) / 100_000
    for early in (False, True):
        values = between(300.0, 400.0, uniform, early)
        assert values.min() >= 300 and values.max() <= 400
        assert np.median(values) == pytest.approx(likely(300.0, 400.0, early), abs=0.01)
    # a straight fall from 300 to 400 has its mean a third of the way up
    assert between(300.0, 400.0, uniform, early=True).mean() == pytest.approx(
        300 + 100 / 3, abs=0.1
    )
