"""A bed stays closed when what was sprayed in it has been pulled. Plot and label are invented."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from tests.desk.hollow_plot import HOLLOW, begun

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.sheets.calendar_items import calendar_items
from lattermath.sheets.handouts import Handout, handout
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.events import Pulling, Treatment
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

PARIS = ZoneInfo("Europe/Paris")
PLACE = """latitude = 44.0
longitude = 2.0
time_zone = "Europe/Paris"
usual_first_frost = "10-25"
country = "FR"
"""
VISITING = """days = ["tue", "thu", "sat"]
arrive = 19:30:00
minutes = 90
"""
WEEK = """highs_c = [29, 30, 31, 29, 28, 30, 29]
lows_c = [16, 17, 18, 17, 16, 17, 17]
"""
MORE = """
[[planting]]
name = "Old beans"
crop = "dwarf bean"
bed = "South"
plants = 20
sown = 2016-05-20
bearing_since = 2016-07-10
in_bloom = false

[[lot]]
name = "Young cucumbers"
crop = "cucumber"
plants = 6
sown = 2016-07-09
cup_ml = 200

[[shelf]]
key = "soap"
name = "Invented soap"
active = "soap"
form = "spray"
country = "FR"
sold_to_amateurs = true
re_entry_hours = {re_entry}
invented = true

[shelf.crops."dwarf bean"]
pre_harvest_days = 3
retreat_days = 5
season_max = 6
plant_back_days = "none"
"""


def pulled_after(folder: Path, re_entry: str) -> Plan:
    """Beans sprayed on Monday 1 August at 20:00 and pulled forty minutes later."""
    more = MORE.format(re_entry=re_entry)
    plot = HOLLOW.format(place=PLACE, visiting=VISITING, courgettes=4, more=more, week=WEEK)
    begun(folder, plot)
    log(folder, Treatment(("old-beans",), "soap", "soap"), datetime(2016, 8, 1, 20, tzinfo=PARIS))
    log(folder, Pulling("old-beans"), datetime(2016, 8, 1, 20, 40, tzinfo=PARIS))
    return plan(folder, date(2016, 8, 2))


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """A label that closes the bed for 96 hours: to Friday 5 August, 20:00."""
    return pulled_after(tmp_path_factory.mktemp("closed"), "96")


def filling(made: Plan) -> list[date]:
    """The days on which something goes into the bed."""
    return [
        visit.date
        for visit in made.visits
        for task in visit.tasks
        if task.goes_in is not None and task.goes_in.bed == "south"
    ]


def test_nothing_goes_into_the_bed_before_friday_evening(closed: Plan, tmp_path: Path) -> None:
    """With a re-entry of four hours the same cucumbers go in on the next visit."""
    assert all(day > date(2016, 8, 5) for day in filling(closed))
    assert filling(pulled_after(tmp_path, "4"))[:1] == [date(2016, 8, 2)]


def words(sheet: Handout | None) -> str:
    assert sheet is not None
    return repr(sheet)


def test_sheet_card_tag_and_calendar_name_the_bed_and_the_hour(closed: Plan) -> None:
    front = text_sheet(closed, closed.plot)
    assert "South" in front and "keep out" in front.lower()
    told = "South, where old beans stood"
    assert told in words(handout("helper", closed)) and told in words(handout("tags", closed))
    (tag,) = [one for one in closed.closed if one.bed == "South"]
    assert f"{tag.entering.safe_from:%d %b %H:%M}" == "05 Aug 20:00"
    (item,) = [one for one in calendar_items(closed, "metric") if told in one.summary]
    assert item.summary.startswith("Keep out")


def test_not_even_mulch_is_laid_before(closed: Plan) -> None:
    (bare,) = [one for one in closed.bare if one.bed == "south"]
    assert "Nobody works there before" in bare.says and "mulch" not in bare.says.lower()
