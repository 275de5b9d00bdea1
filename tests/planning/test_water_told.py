"""The water that a picture shows, against a bucket kept by hand with plain numbers."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from lattermath.belief.soil import BedSoil, Ground, Poured, SoilWeather, WaterUse, believe_soil
from lattermath.planning.water_told import DAYS_AHEAD, DAYS_BEHIND, water_course

TODAY = date(2025, 8, 5)
AREA, HOLDS, EASY = 4.8, 130 * 0.7, 0.5  # m2; mm in 0.7 m of loam; share that is easily had
N, NOW, DAYS = 40, 70, 100
ET0 = 5.0
USE = WaterUse("beans", 0, (10, 10, 200, 15), (1.0, 1.0, 1.0), (0.9, 0.9, 0.9), 0.7, EASY)


def soil(rain: np.ndarray, poured: tuple[Poured, ...] = ()) -> BedSoil:
    """Beans at Kc 1 whose roots have been full for weeks, soaked 60 days ago."""
    weather = SoilWeather(NOW, 0, np.full((N, DAYS), ET0), rain)
    ground = Ground("d", AREA, 0.25, 0.12)
    return believe_soil(ground, USE, weather, poured, np.random.default_rng(1))


def by_hand(rain_mm: list[float], litres: list[float]) -> list[float]:
    """What is left at each day's end, from a full root zone: FAO-56 ch. 8, one day at a time."""
    gone, left = 0.0, []
    for rain, can in zip(rain_mm, litres, strict=True):
        easy = EASY * HOLDS
        stress = 1.0 if gone <= easy else (HOLDS - gone) / (HOLDS - easy)
        came = (rain if rain >= 0.2 * ET0 else 0.0) + can / AREA
        gone = min(max(gone - came + stress * ET0, 0.0), HOLDS)
        left.append(HOLDS - gone)
    return left


def test_the_line_is_the_bucket_kept_by_hand_behind_and_ahead() -> None:
    rain = np.zeros((N, DAYS))
    rain[:, NOW - 20], rain[:, NOW - 9], rain[:, NOW - 4], rain[:, NOW + 3] = 200.0, 12.0, 0.6, 7.0
    found = water_course(soil(rain, (Poured(NOW - 2, 24.0, 9),)), TODAY, TODAY, 20.0)
    litres = [0.0] * DAYS
    litres[NOW - 2] = 24.0
    bare = by_hand(list(rain[0, NOW - 20 :]), litres[NOW - 20 :])
    assert found.so_far.days[-1] == TODAY
    assert found.so_far.median[-21:] == pytest.approx(bare[:21], abs=0.01)
    assert found.ahead.without == pytest.approx(bare[20 : 21 + DAYS_AHEAD], abs=0.01)
    litres[NOW] = 20.0
    kept = by_hand(list(rain[0, NOW - 20 :]), litres[NOW - 20 :])
    assert found.ahead.median == pytest.approx(kept[20 : 21 + DAYS_AHEAD], abs=0.01)
    assert found.ahead.days[0] == TODAY and len(found.ahead.days) == DAYS_AHEAD + 1
    # The day by which more than half of what is easily had is gone, read from the same list.
    short = next(n for n, left in enumerate(kept[20:]) if left < HOLDS * (1 - EASY))
    assert found.dry_by.middle == TODAY + timedelta(days=short)
    assert set(found.due) == {round(HOLDS * (1 - EASY), 2)} and set(found.full) == {HOLDS}


def test_what_came_in_stands_on_its_day_and_a_drizzle_that_only_wets_leaves_does_not() -> None:
    rain = np.zeros((N, DAYS))
    rain[:, NOW - 9], rain[:, NOW - 4] = 12.0, 0.6
    visit = TODAY + timedelta(days=2)
    found = water_course(soil(rain, (Poured(NOW - 2, 24.0, 9),)), TODAY, visit, 20.0)
    assert [(g.day, round(g.mm * found.litres_a_mm, 6), g.how) for g in found.gains] == [
        (TODAY - timedelta(days=9), 57.6, "rain"),
        (TODAY - timedelta(days=2), 24.0, "poured"),
        (visit, 20.0, "planned"),
    ]
    more = np.subtract(found.ahead.median, found.ahead.without)
    assert more[:2] == pytest.approx([0.0, 0.0])
    assert more[2] == pytest.approx(20.0 / AREA, abs=0.02)


def test_rain_that_is_not_sure_makes_the_band_and_the_days() -> None:
    """Half of the futures get 40 mm on the third day: the band opens there and not before."""
    rain = np.zeros((N, DAYS))
    rain[:, NOW - 5] = 200.0
    rain[N // 2 :, NOW + 3] = 40.0
    found = water_course(soil(rain), TODAY, TODAY, 0.0)
    width = np.subtract(found.ahead.high, found.ahead.low)
    assert max(width[:3]) == 0.0 and min(width[3:10]) > 20.0
    assert found.ahead.without == ()
    early, late = found.dry_by.early, found.dry_by.late
    assert early is not None and (late is None or late >= early + timedelta(days=5))


def test_ground_known_since_yesterday_shows_no_more_than_that() -> None:
    weather = SoilWeather(NOW, NOW - 1, np.full((N, DAYS), ET0), np.zeros((N, DAYS)))
    one = believe_soil(Ground("d", AREA, 0.25, 0.12), USE, weather, (), np.random.default_rng(1))
    found = water_course(one, TODAY, TODAY, 0.0)
    assert len(found.so_far.days) == 2 < DAYS_BEHIND
    assert len(found.due) == len(found.so_far.days) + len(found.ahead.days) - 1
    assert found.rough
