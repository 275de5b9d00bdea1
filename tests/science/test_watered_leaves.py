"""Leaves watered from above: against an hour glass run minute by minute, and what growers say."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.watered_leaves import wet_after_watering
from lattermath.science.wetness_from_extremes import wetness_from_extremes

RISE, FALL = 6.0, 20.0


def minutes_wet(at: float, dries_h: float, dark: float) -> int:
    """A film worn away minute by minute."""
    left, minute = dries_h * 60, round(at * 60)
    begun = minute
    while left > 0 and minute < 48 * 60:
        left -= 1.0 if RISE * 60 <= minute % 1440 < FALL * 60 else dark
        minute += 1
    return minute - begun


@pytest.mark.parametrize("at", [6.0, 9.5, 15.0, 18.0, 19.5, 21.0, 23.0])
@pytest.mark.parametrize(("lean", "dries", "dark"), [(-1, 1, 0.25), (0, 2, 0.05), (1, 3, 0.0)])
def test_hours_are_those_of_a_film_worn_away(at: float, lean: float, dries: float, dark) -> None:
    ours = wet_after_watering(at, RISE, FALL, lean).sum()
    assert ours == pytest.approx(minutes_wet(at, dries, dark) / 60, abs=0.2)


def test_evening_water_stays_and_morning_water_goes() -> None:
    """A garden adviser's answer, read: leaves watered in the evening might be wet for 12 to 14 h;
    the aim is under 8 h, by watering in the morning. "Might" is the wet side of ours."""
    evening = [wet_after_watering(20.0, 6.5, 20.0, lean).sum() for lean in (-1, 0, 1)]
    assert 12 <= evening[2] <= 14
    assert 8 < evening[1] < evening[2]
    assert wet_after_watering(6.5, 6.5, 20.0, lean=1.0).sum() < 8


def test_the_sides_hold_the_middle_and_later_water_dries_later() -> None:
    for at in np.arange(0, 24, 0.5):
        dry, middle, wet = (wet_after_watering(at, RISE, FALL, lean).sum() for lean in (-1, 0, 1))
        assert dry <= middle <= wet
    ends = [np.flatnonzero(wet_after_watering(at, RISE, FALL)).max() for at in np.arange(12, 24, 1)]
    assert (np.diff(ends) >= 0).all()


def test_a_humid_hour_that_is_watered_too_is_wet_once() -> None:
    """Union by hours, counted apart from the night's own sums."""
    days, up = 6, np.full(6, 14.0)
    low, high, rain = np.full(days, 12.0), np.full(days, 24.0), np.zeros(days)
    watered = np.zeros((days, 24))
    watered[3, 18:] = 1.0
    bare = wetness_from_extremes(low, high, rain, up)
    with_it = wetness_from_extremes(low, high, rain, up, watered=watered)
    assert (with_it.humid_h == bare.humid_h).all()
    assert bare.wet_h[4] < with_it.wet_h[4] <= bare.wet_h[4] + 6
    untouched = [0, 1, 2, 3, 5]
    assert with_it.wet_h[untouched].tolist() == bare.wet_h[untouched].tolist()
    everything = np.ones((days, 24))
    assert wetness_from_extremes(low, high, rain, up, watered=everything).wet_h[4] == 24
