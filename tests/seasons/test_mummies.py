"""Aphids on peppers, with and without mummies and ladybird larvae among them.

Common practice: where enemies are at work, wait and look again, and do not spray what kills them.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.plan_visit import plan
from lattermath.desk.why import why
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan, Population

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """region = "north_america"
country = "invented"
[water]
hose = false
[garden]
bloom_near = false
[[planting]]
key = "peppers"
name = "Peppers"
crop = "pepper"
plants = 12
set_out = 2011-06-04
in_bloom = false
[[shelf]]
key = "fly-spray"
name = "Fly spray (invented)"
active = "pyrethrins"
group = "3A"
form = "spray"
country = "invented"
sold_to_amateurs = true
organic_input = true
re_entry_hours = 4
max_temperature_c = 32
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
litres_left = 12
invented = true
[shelf.crops.pepper]
pre_harvest_days = 1
retreat_days = 5
season_max = 6
rate_ml_per_l = 20
max_l_per_m2 = 0.3
plant_back_days = "none"
"""
)
EVENING = datetime(2011, 7, 29, 19, 0)
ENEMIES = (("mummies", (6, 9, 12, 5, 8)), ("ladybird larvae", (1, 0, 2, 1, 1)))


def planned(folder: Path, enemies: tuple[tuple[str, tuple[int, ...]], ...]) -> Plan:
    opened(folder, FILE)
    aphids = Sighting("peppers", "green peach aphid", "count", counts=(7, 4, 11, 9, 4))
    log(folder, aphids, EVENING)
    for what, counts in enemies:
        log(folder, Sighting("peppers", what, "count", counts=counts), EVENING)
    return plan(folder, date(2011, 7, 30))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan, Plan]:
    folder = tmp_path_factory.mktemp("mummies")
    return folder, planned(folder / "alone", ()), planned(folder / "with", ENEMIES)


def aphids(made: Plan) -> Population:
    return next(p for p in made.populations if p.organism == "green_peach_aphid")


def test_enemies_are_said_and_not_called_unknown(made: tuple[Path, Plan, Plan]) -> None:
    _, alone, with_them = made
    assert "work for you" not in aphids(alone).says
    told = "40 mummies and 5 ladybird larvae on 5 leaves of Peppers work for you"
    assert told in aphids(with_them).says
    assert not [words for words in with_them.warnings if "mummies" in words]


def test_left_alone_they_grow_more_slowly_where_enemies_are(made: tuple[Path, Plan, Plan]) -> None:
    _, alone, with_them = made
    ahead = [np.array([strip.without for strip in aphids(one).strips]).sum(0) for one in made[1:]]
    assert ahead[1][10] < 0.5 * ahead[0][10]
    assert alone.stamp.tables == with_them.stamp.tables


def test_a_spray_that_kills_them_is_planned_less(made: tuple[Path, Plan, Plan]) -> None:
    sprays = [sum(s.product == "fly-spray" for s in aphids(one).course) for one in made[1:]]
    assert sprays[1] < sprays[0]


def test_the_reasons_lead_back_to_the_counts(made: tuple[Path, Plan, Plan]) -> None:
    folder, _, with_them = made
    reason = next(b for b in aphids(with_them).because if "mummies" in b.says)
    event, row = reason.rests_on
    assert row == "table:enemies/mummies/looks"
    assert any("mummies" in line for line in why(folder / "with", event))
    assert any("papery" in line for line in why(folder / "with", row))


def test_logging_them_says_what_follows(made: tuple[Path, Plan, Plan], tmp_path: Path) -> None:
    folder = tmp_path / "plot"
    planned(folder, ())
    event = log(folder, Sighting("peppers", "hover-fly larvae", "count", counts=(1, 0)), EVENING)
    assert any("They work for you" in line for line in echo(folder, event))
