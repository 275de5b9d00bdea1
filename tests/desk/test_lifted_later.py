"""Winter leeks on the sheet: from when to lift them, and not as the handful that falls before."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened

from lattermath.desk.plan_visit import plan
from lattermath.sheets.front import front

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
usual_first_frost = "10-08"
[[bed]]
name = "A"
x_m = 0
y_m = 0
length_m = 3.0
width_m = 1.2
[[planting]]
name = "Winter leeks"
crop = "leek"
plants = 30
bed = "A"
set_out = 2011-06-20
"""


def test_leeks_set_out_in_june_are_told_to_be_lifted_in_autumn(tmp_path: Path) -> None:
    """By the table thirty leeks give 4.5 to 9 kg; the reckoned weeks hold less than one of them."""
    folder = tmp_path / "plot"
    opened(folder, PLOT, datetime(2011, 7, 20, 12, 0))
    made = plan(folder, date(2011, 7, 26))
    (outlook,) = made.outlook
    weekly = sum(span.median for span in outlook.with_plan)
    assert outlook.later_kg is not None and weekly < 1.5
    assert 2.5 < outlook.later_kg.median < 9.0
    (verdict,) = made.verdicts
    assert verdict.verdict == "let run" and verdict.chance_replacing_better < 0.2
    told = front(made, "Nowhere Lane", "metric")
    assert told is not None
    (line,) = [says for says in told.decided if says.startswith("Winter leeks")]
    assert "Lift from about" in line and "before a night of -12 C" in line
    us = front(made, "Nowhere Lane", "us")
    assert us is not None and any("before a night of 10 F" in says for says in us.decided)


def test_squash_that_bear_once_and_late_have_their_weeks(tmp_path: Path) -> None:
    """Set out in June they ripen from late August on: none of their weeks is the first of all."""
    folder = tmp_path / "plot"
    squash = PLOT.replace('"leek"\nplants = 30', '"winter_squash"\nplants = 4')
    opened(folder, squash, datetime(2011, 7, 20, 12, 0))
    made = plan(folder, date(2011, 7, 26))
    ((outlook,), (verdict,)) = made.outlook, made.verdicts
    (kept,) = [one.kg for one in verdict.options if one.fate == verdict.choice]
    assert kept is not None and kept.high > 2.0
    assert outlook.weeks[-1] >= date(2011, 9, 26)  # the usual first frost comes on 8 October
    assert sum(span.high for span in outlook.with_plan) > kept.median
    assert outlook.with_plan[0].high == 0.0
