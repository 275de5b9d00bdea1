"""How long a crop is picked.

Sources (checks-crops A12.5): Utah State Univ. 2010 (read): bush bean 2 to 3 weeks, pole bean 5 to
6; Colorado State Univ. 2004 (read): zucchini sown 3 June picked 21 July to 23 September. 7 days.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import N_DRAWS, dice, steady

from lattermath.belief.crop_growth import bearing_kg, begun_on, draw_unknowns, picking_age
from lattermath.belief.crop_reckoning import first_pick


def _span(crop: str) -> np.ndarray:
    """Days between the first and the last tenth of the pickings, in the table's own weather."""
    season = steady(23.0, n_days=260)
    traits, climate = season.traits(crop), season.climate(crop)
    unknowns = draw_unknowns(traits, N_DRAWS, dice(crop))
    age = picking_age(traits, climate, unknowns, begun_on("sown", 10, N_DRAWS))
    bearing = (age > 0) & (age < unknowns.end_days[:, None])
    return np.asarray(bearing.sum(axis=1))


@pytest.mark.parametrize(("crop", "low", "high"), [("bean_bush", 14, 21), ("bean_pole", 35, 42)])
def test_beans(crop: str, low: int, high: int) -> None:
    days = _span(crop)
    assert low - 7 <= days.min() and days.max() <= high + 7


def test_summer_squash_peaks_in_the_third_to_fifth_week_of_picking() -> None:
    """Western SARE FW06-042, 2006 (results read): weekly yield peaked in weeks 3 to 5."""
    season = steady(23.0, n_days=260)
    traits, climate = season.traits("summer_squash"), season.climate("summer_squash")
    unknowns = draw_unknowns(traits, N_DRAWS, dice("squash"))
    age = picking_age(traits, climate, unknowns, begun_on("sown", 10, N_DRAWS))
    kg = bearing_kg(climate, unknowns, age, 1)
    first = (kg > 0).argmax(axis=1)
    week = np.arange(7)
    weeks = [
        np.take_along_axis(kg, first[:, None] + 7 * k + week, axis=1).sum(axis=1) for k in range(9)
    ]
    best = np.argmax(weeks, axis=0) + 1
    assert 3 <= np.median(best) <= 5
    assert np.argmax(np.mean(weeks, axis=1)) + 1 in (3, 4, 5)


def test_zucchini_of_a_colorado_summer() -> None:
    """48 days of about 20 to 22 C; the packet's own 48 days are within the table's 45 to 58."""
    traits = steady().traits("summer_squash")
    sown, picked = date(2004, 6, 3), date(2004, 7, 21)
    weather = np.full(120, 15.0), np.full(120, 31.0)
    found = first_pick(traits.with_packet(48), "sown", *weather)
    assert found.likely == pytest.approx((picked - sown).days, abs=7)
    assert traits.picking_days[1] == pytest.approx(64, abs=7)
