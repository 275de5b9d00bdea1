"""White specks fly up from the kale: from the words to the insect, its count and a course."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.diagnose import diagnose
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

FILE = (
    PLACE
    + """
[water]
hose = true
[[bed]]
key = "b"
name = "B"
length_m = 5
width_m = 1
[[planting]]
key = "kale"
name = "Kale"
crop = "kale"
plants = 12
bed = "b"
set_out = 2011-05-20
bearing_since = 2011-07-01
"""
)
TABLES = load_tables()


@pytest.mark.parametrize("region", ["north_america", "europe"])
def test_on_kale_cabbage_whitefly_leads_where_it_lives(region: str) -> None:
    """Established in Oregon, California, New York and Quebec as in Europe (`organisms`, pages of
    their departments of agriculture read): it is the one that makes clouds over brassicas."""
    found = diagnose(TABLES, "kale", region, ["white_insect_cloud"]).told.probabilities
    assert max(found, key=found.__getitem__) == "cabbage_whitefly"


def planned(folder: Path, a_leaf: int) -> Plan:
    opened(folder, FILE)
    seen = Sighting("kale", "cabbage_whitefly", "count", "scales", counts=(a_leaf,) * 10)
    log(folder, seen, datetime(2011, 7, 22, 18, 0))
    return plan(folder, date(2011, 7, 23))


def test_ninety_times_what_growers_act_at_is_worth_work(tmp_path: Path) -> None:
    """Growers act at five scales a leaf on kale meant for the table; here are 450."""
    (whitefly,) = (p for p in planned(tmp_path, 450).populations if "whitefly" in p.organism)
    assert whitefly.course


def test_few_are_rinsed_off(tmp_path: Path) -> None:
    """Below the number that growers act at nothing is done."""
    made = planned(tmp_path, 1)
    assert not [p.course for p in made.populations if "whitefly" in p.organism and p.course]
