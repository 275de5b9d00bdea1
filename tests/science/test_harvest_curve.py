"""The picking curve against numerical integration, and against peak weeks of the crop table."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.science.harvest_curve import (
    END_SHARE,
    FALL_POWER,
    START_SHARE,
    daily_yield,
    first_frost,
    picked_share,
    standing_after_frost,
)


def _rate(age: np.ndarray, peak: float, end: float) -> np.ndarray:
    """The curve itself: straight up to the peak, bent down to the end, nothing outside."""
    rise = START_SHARE + (1 - START_SHARE) * age / peak
    left = np.clip(1 - (age - peak) / (end - peak), 0, 1)
    fall = END_SHARE + (1 - END_SHARE) * left**FALL_POWER
    rate = np.where(age < peak, rise, fall)
    return np.where((age < 0) | (age > end), 0.0, rate)


@pytest.mark.parametrize(("peak", "end"), [(10.0, 40.0), (5.0, 17.0), (21.0, 105.0), (1.0, 9.0)])
def test_share_picked_is_the_integral_of_the_curve(peak: float, end: float) -> None:
    fine = np.linspace(-5, end + 5, 200_001)
    rate = _rate(fine, peak, end)
    summed = np.concatenate([[0], np.cumsum((rate[1:] + rate[:-1]) / 2 * np.diff(fine))])
    ages = np.linspace(-4, end + 4, 37)
    found = picked_share(ages[None, :], np.array([peak]), np.array([end]))[0]
    assert found == pytest.approx(np.interp(ages, fine, summed / summed[-1]), abs=1e-4)


def test_the_whole_season_is_the_season() -> None:
    age = np.arange(-10.0, 80.0)[None, :]
    kg = daily_yield(age, np.array([10.0]), np.array([40.0]), np.array([2.4]))
    assert kg.sum() == pytest.approx(2.4) and (kg >= 0).all()
    assert kg[0, :10].sum() == 0 and kg[0, 60:].sum() == pytest.approx(0, abs=1e-12)


def test_peak_weeks_of_the_crop_table() -> None:
    """Peak weeks of twelve crops (derived or judgement in the table): within 40 %, rms 20 %."""
    logs = {}
    for crop in load_tables().crops.values():
        peak_week = crop.peak_week_per_plant_kg
        if peak_week is None:
            continue
        peak = sum(crop.first_pick_to_peak_days.span) / 2
        end = sum(crop.picking_days.span) / 2
        season = sum(crop.yield_per_plant_kg.span) / 2
        age = np.arange(0.0, 120.0)[None, :]
        kg = daily_yield(age, np.array([peak]), np.array([end]), np.array([season]))[0]
        best = max(kg[k : k + 7].sum() for k in range(100))
        logs[crop.id] = np.log(best / peak_week.value)
    assert len(logs) == 12
    assert np.sqrt(np.mean(np.square(list(logs.values())))) < 0.20
    assert all(abs(log) < np.log(1.4) for log in logs.values()), logs


def test_frost_ends_it_and_near_frost_takes_a_part() -> None:
    nights = np.array([[8.0, 4.0, 1.75, 5.0, -0.5, 9.0]])
    standing = standing_after_frost(nights, kill_c=-0.5, damage_c=4.0)[0]
    assert standing[:2].tolist() == [1.0, 1.0]
    assert standing[2] == pytest.approx(1 - 0.5 * 0.25)  # half-way down costs a quarter of a half
    assert standing[3] == standing[2]
    assert standing[4:].tolist() == [0.0, 0.0]


def test_first_frost_counts_from_where_it_is_asked_and_says_when_there_is_none() -> None:
    nights = np.array([[-1.0, 5.0, 0.0, -2.0], [3.0, 3.0, 3.0, 3.0]])
    assert first_frost(nights, 0.0).tolist() == [0, 4]
    assert first_frost(nights, 0.0, from_column=1).tolist() == [2, 4]
