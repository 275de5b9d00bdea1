"""Cucumber beetles on cucumbers of June and of July: wilt makes the late ones worth less waiting.

Published (abstract, source wilt_vector of the pest table): of overwintered beetles about 1 in 100
carry wilt, from July to September 8 to 12 in 100.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan, Population

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """region = "north_america"
[[planting]]
key = "cucumbers"
name = "Cucumbers"
crop = "cucumber"
plants = 6
set_out = {day}
"""
)


def planned(folder: Path, day: str, beetles: tuple[int, ...]) -> Plan:
    opened(folder, FILE.format(day=day))
    seen = Sighting("cucumbers", "striped_cucumber_beetle", "count", "adult", counts=beetles)
    log(folder, seen, datetime(2011, 7, 28, 19, 0))
    return plan(folder, date(2011, 7, 30))


def beetles_of(made: Plan) -> Population:
    return next(p for p in made.populations if p.organism == "striped_cucumber_beetle")


@pytest.fixture(scope="module")
def early(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return planned(tmp_path_factory.mktemp("wilt") / "early", "2011-06-04", (1, 0, 0, 1, 0, 0))


@pytest.fixture(scope="module")
def late(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return planned(tmp_path_factory.mktemp("wilt") / "late", "2011-07-10", (1, 0, 0, 1, 0, 0))


def test_the_lower_number_is_said_with_its_reason_for_late_plants_only(
    early: Plan, late: Plan
) -> None:
    assert "Growers often act at 1 (beetles a plant on melon" in beetles_of(early).says
    assert "first beetle" not in beetles_of(early).says
    assert "Cucumbers, begun since July, act at the first beetle (0.1 a plant)" in (
        beetles_of(late).says
    )


def test_the_same_beetles_are_worth_more_work_on_late_plants(early: Plan, late: Plan) -> None:
    """A third of a beetle a plant is below the usual number and three times the late one."""
    assert len(beetles_of(late).course) > len(beetles_of(early).course)
