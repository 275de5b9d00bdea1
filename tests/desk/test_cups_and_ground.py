"""Every bare bed of a plan is filled by a verdict or told why not, on the sheet too."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened

from lattermath.desk.plan_visit import plan
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.front import front
from lattermath.vocabulary.plan import Plan

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
[[bed]]
name = "B"
x_m = 0
y_m = 1.6
length_m = 3.0
width_m = 1.2
[[planting]]
name = "Row 1"
crop = "cucumber"
plants = 6
bed = "A"
set_out = 2011-05-20
[[tin.packet]]
crop = "bush bean"
seeds = 80
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    there = Path(tmp_path_factory.mktemp("bare")) / "plot"
    opened(there, PLOT, datetime(2011, 7, 20, 12, 0))
    return there


def in_september(folder: Path) -> Plan:
    return plan(folder, date(2011, 9, 6))


def test_a_bed_that_is_filled_is_told_by_its_verdict(folder: Path) -> None:
    made = plan(folder, date(2011, 7, 21))
    (whole,) = [one for one in made.bare if one.whole]
    assert whole.bed == "b" and whole.filled and not whole.says
    assert any(one.planting == "b" for one in made.verdicts)


def test_a_bed_that_stays_bare_says_why_on_the_front_and_what_it_may_carry_on_the_back(
    folder: Path,
) -> None:
    made = in_september(folder)
    assert not any(one.planting == "b" for one in made.verdicts)
    (whole,) = [one for one in made.bare if one.whole]
    assert not whole.filled and "Nothing begun now pays" in whole.says
    told = front(made, "Nowhere Lane", "metric")
    assert told is not None
    (line,) = [said for said in told.decided if said.startswith("B: bare.")]
    assert "hardly anything" in line and "mulch" in line.lower()
    back = " ".join(text_back(made, "Nowhere Lane").split())
    assert "B, 3.6 m2, bare: what it may carry" in back
    assert "of it bare by the spacing" not in back  # nothing pays on the rest of A any more
    early = " ".join(text_back(plan(folder, date(2011, 7, 21)), "Nowhere Lane").split())
    assert "A, about 1.4 m2 of it bare by the spacing" in early


def test_the_part_that_plantings_leave_is_the_bed_less_their_spacing(folder: Path) -> None:
    """Six cucumbers at 30 by 120 cm in 3.6 square metres."""
    (part,) = [one for one in in_september(folder).bare if not one.whole]
    assert part.bed == "a" and part.area_m2 == pytest.approx(3.6 - 6 * 0.3 * 1.2, abs=0.01)
    assert any("cucumbers" in reason.says for reason in part.because)  # not again next spring
