"""Latest set-out dates of a US vegetable transplanting guide, to the day.

Source: guide with first frost 1 October, issuer not shown (read; checks-crops A2).
"""

from __future__ import annotations

from datetime import date

import pytest

from lattermath.belief.crop_reckoning import last_planting_of
from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables

FROST = date(2023, 10, 1)
GUIDE = [
    ("cucumber_slicing", 55, date(2023, 7, 3), 35),
    ("summer_squash", 42, date(2023, 7, 16), 35),
    ("pepper_sweet", 75, date(2023, 6, 13), 35),
    ("winter_squash", 75, date(2023, 6, 13), 35),
    ("broccoli", 90, date(2023, 6, 23), 10),
    ("kale", 45, date(2023, 8, 7), 10),
    ("lettuce_leaf", 30, date(2023, 8, 22), 10),
]


@pytest.mark.parametrize(("crop", "days", "latest", "margin"), GUIDE)
def test_latest_set_out_to_the_day(crop: str, days: int, latest: date, margin: int) -> None:
    traits = crop_traits(load_tables(), crop)
    found = last_planting_of(traits, "set out", FROST.toordinal(), days)
    assert date.fromordinal(round(found.day)) == latest
    assert found.margin_days == margin
