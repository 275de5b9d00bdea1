"""A count that can hardly be: nothing that cannot be undone rests on it before another look."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

FILE = (
    PLACE
    + """
[[bed]]
key = "b"
name = "B"
length_m = 5
width_m = 1
[[planting]]
key = "beans"
name = "Beans"
crop = "dwarf bean"
plants = 30
bed = "b"
sown = 2011-06-24
[[lot]]
key = "cups"
name = "Kale cups"
crop = "kale"
plants = 6
sown = 2011-06-20
cup_ml = 200
where = "home"
"""
)


def planned(folder: Path, *days: int) -> Plan:
    opened(folder, FILE)
    counts = (210, 180, 250, 160, 190, 220, 170, 200, 230, 170)
    for day in days:
        seen = Sighting("beans", "melon_aphid", "count", "", counts=counts)
        log(folder, seen, datetime(2011, 7, day, 18, 0))
    return plan(folder, date(2011, 7, days[-1] + 1))


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return planned(tmp_path_factory.mktemp("once"), 13)


def test_it_is_called_a_slip_and_takes_nothing_out(once: Plan) -> None:
    (told,) = once.populations
    odd = sum(one.chance for one in told.may_be if "slip" in one.what or "miscount" in one.what)
    assert told.disagrees and odd >= 0.5
    beans = next(verdict for verdict in once.verdicts if verdict.planting == "beans")
    assert beans.verdict not in ("replace", "pull"), beans.says
    assert [one for one in once.visits[0].tasks if one.kind == "look" and one.planting == "beans"]


def test_a_second_count_like_it_is_believed(tmp_path: Path) -> None:
    made = planned(tmp_path / "twice", 13, 15)
    beans = next(verdict for verdict in made.verdicts if verdict.planting == "beans")
    assert not [one for one in beans.because if "written down" in one.says]
    assert "if that count holds" not in beans.says
