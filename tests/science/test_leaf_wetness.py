"""Wet hours against the worked day of the checks, brute force, and the meaning of unknown."""

from __future__ import annotations

from itertools import groupby, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.humidity import dew_point, saturation_vapour_pressure
from lattermath.science.leaf_wetness import leaf_wetness, wet_days, wet_hour_bounds, wet_periods

nan = np.nan
# checks-diseases 6: 24 hours from midnight, worked by hand there.
DAY = [95, 96, 97, 97, 96, 95, 93, 90, 84, 75, 66, 60, 55, 52, 50, 52, 57, 64, 72, 80, 86, 89]
DAY += [91, 93]
states = st.lists(st.sampled_from([0.0, 1.0, nan]), min_size=1, max_size=30)


def test_the_worked_day() -> None:
    assert wet_hour_bounds(leaf_wetness(DAY)) == (10, 10)
    assert wet_hour_bounds(leaf_wetness(DAY, threshold_percent=87)) == (11, 11)
    rain = np.zeros(24)
    rain[15] = 1.0
    assert wet_hour_bounds(leaf_wetness(DAY, rain)) == (11, 11)
    assert wet_hour_bounds(leaf_wetness(DAY, watered_mm=rain)) == (11, 11)


def test_a_night_is_joined_across_midnight() -> None:
    periods = wet_periods(leaf_wetness(DAY * 2))
    assert [(p.begin_h, p.hours) for p in periods] == [(0, 8), (22, 10), (46, 2)]
    assert [(p.from_before, p.goes_on) for p in periods] == [
        (True, False),
        (False, False),
        (False, True),
    ]


def test_what_is_missing_is_unknown_and_not_dry() -> None:
    wet = leaf_wetness([95, nan, nan, 50, 50, 50], [0, 0, 0.5, nan, 0.1, 0.2])
    assert np.array_equal(wet, [1, nan, 1, nan, 0, 1], equal_nan=True)
    assert wet_hour_bounds(wet) == (3, 5)


def test_rain_nobody_asked_about_is_not_missing() -> None:
    assert leaf_wetness([95, 50]).tolist() == [1, 0]


def test_series_of_unlike_length_are_refused() -> None:
    with pytest.raises(ValueError, match="as many hours"):
        leaf_wetness([95, 50], [0.0])


@given(states)
def test_bounds_hold_whatever_the_unknown_hours_were(wet: list[float]) -> None:
    open_hours = [n for n, one in enumerate(wet) if np.isnan(one)][:8]
    wet = [0.0 if np.isnan(one) and n not in open_hours else one for n, one in enumerate(wet)]
    counts, longest = set(), {p.begin_h: 0 for p in wet_periods(wet)}
    for filling in product([0.0, 1.0], repeat=len(open_hours)):
        filled = list(wet)
        for hour, one in zip(open_hours, filling, strict=True):
            filled[hour] = one
        counts.add(int(sum(filled)))
        for start, hours in runs(filled):
            for begun in longest:
                if start <= begun < start + hours:
                    longest[begun] = max(longest[begun], hours)
    assert wet_hour_bounds(wet) == (min(counts), max(counts))
    assert {p.begin_h: p.most_h for p in wet_periods(wet)} == longest


def runs(wet: list[float]) -> list[tuple[int, int]]:
    """Runs of ones, by grouping: another way than the code's."""
    found, at = [], 0
    for value, group in groupby(wet):
        length = len(list(group))
        if value == 1.0:
            found.append((at, length))
        at += length
    return found


@given(states)
def test_periods_are_the_runs_of_wet_hours(wet: list[float]) -> None:
    known = [0.0 if np.isnan(one) else one for one in wet]
    assert [(p.begin_h, p.hours) for p in wet_periods(wet)] == runs(known)


def test_days_have_their_wet_hours_and_warmth() -> None:
    heat = np.arange(48.0)
    wet = np.zeros(48)
    wet[[2, 4]], wet[30], wet[31] = 1, nan, 1
    days = wet_days(wet, heat)
    assert days.least_h.tolist() == [2, 1]
    assert days.most_h.tolist() == [2, 2]
    assert days.wet_mean_c.tolist() == [3, 31]
    assert np.isnan(wet_days(np.zeros(24), np.zeros(24)).wet_mean_c[0])
    with pytest.raises(ValueError, match="24 to each day"):
        wet_days(wet[:30], heat[:30])


@pytest.mark.parametrize(
    ("warmth", "depression"), [(5, 1.50), (10, 1.57), (15, 1.63), (20, 1.69), (25, 1.76)]
)
def test_ninety_per_cent_is_a_dew_point_depression(warmth: float, depression: float) -> None:
    """checks-diseases 6 (computed there with Magnus 17.62/243.12; ours is the form of FAO-56)."""
    dew = float(dew_point(0.9 * saturation_vapour_pressure(warmth)))
    assert warmth - dew == pytest.approx(depression, abs=0.015)
