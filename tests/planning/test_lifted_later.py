"""What is told of what may come late: by its best tenth, and from when, worked by hand."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np

from lattermath.planning.lifted_later import later_kg, later_says, scattered_says

MONDAYS = [date(2026, 8, 3) + timedelta(weeks=n) for n in range(10)]


def stands(*kg: float) -> Any:
    traits = SimpleNamespace(kill_c=-12.0, crop="kale")
    return SimpleNamespace(kg=np.array(kg), stands=(6.0, 14.0), ready=100, traits=traits)


def test_what_may_stand_is_told_with_its_day_also_where_the_middle_is_none() -> None:
    """Three draws of eleven hold 3.6 kg: the middle is none, and one in ten has that."""
    season: Any = SimpleNamespace(
        weather=SimpleNamespace(n_days=120, day=lambda n: date(2026, 7, 1) + timedelta(days=n))
    )
    mostly_none = stands(*[0.0] * 8, 3.6, 3.6, 3.6)
    kg = later_kg(mostly_none)
    assert kg is not None and (kg.low, kg.median, kg.high) == (0.0, 0.0, 3.6)
    says = later_says(mostly_none, season)
    assert (
        says.startswith("lift from about Fri 9 Oct on: ")
        and "about «0 kg» to «3.6 kg» stand" in says
    )
    named = later_says(mostly_none, season, "cabbages")  # where tomatoes stand now
    assert named.startswith("lift cabbages from about Fri 9 Oct on: ")
    assert "Cabbages stand 6 to 14 weeks after the first frost" in named and "They" not in named
    assert later_kg(stands(*[0.0] * 10, 3.6)) is None and later_kg(None) is None


def test_fruit_that_may_come_in_any_week_and_in_none_for_sure_are_told_in_all() -> None:
    """One squash of 1.5 kg in half of twenty draws, each in another of ten weeks."""
    weekly = np.zeros((20, 10))
    weekly[np.arange(10), np.arange(10)] = 1.5
    told = scattered_says(weekly, weekly, MONDAYS)
    assert told == "from about Mon 3 Aug on «0 kg» to «1.5 kg» in all, in no one week for sure"
    late = np.roll(weekly, 3, axis=1)
    late[:, :3] = 0.0
    assert scattered_says(late, late, MONDAYS).startswith("from about Mon 24 Aug on ")


def test_what_a_week_shows_or_is_hardly_any_has_no_line() -> None:
    often = np.zeros((20, 10))
    often[:4, 6] = 1.5
    assert scattered_says(often, often, MONDAYS) == ""
    assert scattered_says(np.full((20, 10), 0.01), np.full((20, 10), 0.01), MONDAYS) == ""
    assert scattered_says(np.zeros((1, 1)), np.zeros((1, 1)), MONDAYS) == ""
