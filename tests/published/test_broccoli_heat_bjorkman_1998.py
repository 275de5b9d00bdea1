"""Broccoli heads spoilt by a hot week while they are initiated.

Source: Bjorkman and Pearson 1998, J. Exp. Bot. 49:101-106 (abstract read; checks-crops A12.3): a
week of 35 C days at head initiation spoils the head, before and after not.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from lattermath.belief.crop_growth import SeasonWeather, crop_climate
from lattermath.belief.crop_reckoning import fruit_set_of
from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables

BROCCOLI = crop_traits(load_tables(), "broccoli")


def test_a_week_at_35_spoils_the_head() -> None:
    assert fruit_set_of(BROCCOLI, np.full(7, 20.0), np.full(7, 35.0)).max() < 0.5


def test_before_and_after_that_week_heat_does_nothing() -> None:
    """Heads cut three weeks after a hot week lose; those begun before it, or after, do not."""
    mean = np.full((1, 150), 18.0)
    mean[0, 60:67] = 29.0  # 20 to 35 C and more by day
    weather = SeasonWeather(
        date(2025, 5, 1), 0, mean - 7, mean + 7, np.full(150, 15.0), np.full(150, 22.0),
        np.zeros(1, dtype=np.intp),
    )  # fmt: skip
    bears = crop_climate(BROCCOLI, weather).bears[0]
    sound = bears[20]
    assert bears[60:67] == pytest.approx(sound)  # what is cut in the hot week began before
    hurt = np.flatnonzero(bears < 0.6 * sound)
    assert hurt.min() > 67 + 14
    assert hurt.max() < 67 + 60


def test_the_table_keeps_the_limit() -> None:
    """Summers rarely above 30 C; within 1 C."""
    limit = load_tables().crops["broccoli"].row.figure("heat.day_max_c").value
    assert limit == pytest.approx(30.0, abs=1.0)
