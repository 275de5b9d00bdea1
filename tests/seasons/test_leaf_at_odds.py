"""A severity that the mildew before it would hardly have come to, and one that it would."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting

FILE = (
    PLACE
    + """[[planting]]
key = "melon"
name = "Melons"
crop = "melon"
plants = 4
set_out = 2011-06-01
"""
)


def disagrees(folder: Path, last: float) -> str:
    opened(folder, FILE)
    for day, percent in ((12, 1.0), (16, 2.0), (20, 3.0), (24, last)):
        seen = Sighting("melon", "cucurbit_powdery_mildew", "severity", "", "top",
                        looked_at=10, percent=percent)  # fmt: skip
        log(folder, seen, datetime(2011, 7, day, 18, 0))
    made = plan(folder, date(2011, 7, 24))
    return next(p for p in made.populations if "mildew" in p.organism).disagrees


def test_a_leap_in_four_days_is_said_and_a_step_is_not(tmp_path: Path) -> None:
    leap = disagrees(tmp_path / "leap", 90.0)
    assert leap.startswith("Melons: 90 % of the tops on 24 Jul, where")
    assert "Judge ten leaves again beside the drawn ones" in leap
    assert disagrees(tmp_path / "step", 6.0) == ""
