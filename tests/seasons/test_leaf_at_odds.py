"""A severity that the mildew before it would hardly have come to, and one that it would."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Population

pytestmark = pytest.mark.usefixtures("few_draws")

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


def told(folder: Path, last: float) -> Population:
    opened(folder, FILE)
    for day, percent in ((12, 1.0), (16, 2.0), (20, 3.0), (24, last)):
        seen = Sighting("melon", "cucurbit_powdery_mildew", "severity", "", "top",
                        looked_at=10, percent=percent)  # fmt: skip
        log(folder, seen, datetime(2011, 7, day, 18, 0))
    made = plan(folder, date(2011, 7, 24))
    return next(p for p in made.populations if "mildew" in p.organism)


def test_a_leap_in_four_days_is_said_and_a_step_is_not(tmp_path: Path) -> None:
    leap = told(tmp_path / "leap", 90.0)
    assert leap.disagrees.startswith("Melons: 90 % of the tops on 24 Jul, where")
    assert leap.to_tell.startswith("To tell: judge ten leaves of Melons again beside the drawn")
    named = [one.what for one in leap.may_be]
    assert "a severity judged wrongly" in named
    assert not any("spray" in what or "less than" in what for what in named)
    shares = [one.chance for one in leap.may_be if one.what != "something else"]
    assert shares == sorted(shares, reverse=True) and sum(shares) <= 1 + 1e-9
    assert told(tmp_path / "step", 6.0).disagrees == ""
