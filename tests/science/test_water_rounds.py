"""Ground watered at visits, against the plain root zone and by its order."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.root_zone import root_zone
from lattermath.science.water_rounds import RESPONSE_DAYS, stress_at_visits, yield_left

DAYS = 40


def ground(seed: int, plantings: int = 3, draws: int = 5):
    rng = np.random.default_rng(seed)
    taw = np.repeat(rng.uniform(20, 80, (plantings, 1)), DAYS, axis=1)
    raw = 0.4 * taw
    kc = np.repeat(rng.uniform(0.5, 1.15, (plantings, 1)), DAYS, axis=1)
    et0 = rng.uniform(2, 7, (draws, DAYS))
    rain = rng.gamma(0.2, 12.0, (draws, DAYS))
    start = rng.uniform(0, 1, (plantings, draws)) * taw[:, :1]
    return start, taw, raw, kc, et0, rain


def test_without_water_it_is_the_root_zone() -> None:
    """The same balance written down a second time (FAO-56 eq. 84 and 85)."""
    start, taw, raw, kc, et0, rain = ground(1)
    ours = stress_at_visits(start, taw, raw, kc, et0, rain, (), np.full(3, 5.0), None)
    for p in range(3):
        run = root_zone(et0[:, 1:], rain[:, 1:], kc[p, 1:], taw[p, 1:], 0.4, start[p])
        assert ours[p, :, 1:] == pytest.approx(run.ks)


def test_daily_water_without_end_leaves_no_stress() -> None:
    start, taw, raw, kc, et0, rain = ground(2)
    always = stress_at_visits(start, taw, raw, kc, et0, rain, range(DAYS), np.full(3, 5.0), None)
    assert always[:, :, 1:].min() > 0.99


@given(st.integers(0, 500), st.floats(0, 60), st.floats(0, 60))
def test_more_water_never_lowers_what_all_plantings_take(seed: int, one: float, other: float):
    start, taw, raw, kc, et0, rain = ground(seed, plantings=1)
    less, more = sorted((one, other))
    ks = [
        stress_at_visits(start, taw, raw, kc, et0, rain, range(0, DAYS, 3), np.full(1, 5.0), litres)
        for litres in (less, more)
    ]
    assert ks[1].mean() >= ks[0].mean() - 1e-9


def test_a_steady_shortage_costs_what_the_response_says() -> None:
    """FAO-33: 1 - Ya/Ym = Ky (1 - ETa/ETm); a fifth short with Ky 1.25 leaves three quarters."""
    left = yield_left(np.full((2, DAYS), 0.8), np.full(DAYS, 5.0), 1.25)
    assert left == pytest.approx(0.75)
    assert yield_left(np.zeros(DAYS), 5.0, 1.25)[-1] == 0.0
    assert yield_left(np.ones(DAYS), 5.0, 1.25) == pytest.approx(1.0)


def test_a_dry_week_is_felt_for_two_weeks_and_forgotten() -> None:
    ks = np.ones(DAYS)
    ks[10:17] = 0.4
    left = yield_left(ks, 5.0, 1.0)
    assert left[9] == 1.0
    assert left[16] == pytest.approx(1 - 7 * 0.6 / RESPONSE_DAYS)
    assert left[17 + RESPONSE_DAYS] == pytest.approx(1.0)
