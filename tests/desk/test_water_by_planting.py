"""Water in a short visit: what goes short soonest gets it, and what finds no time is named.

Four thirsty plantings in a hot dry week, invented. Which of them fit is worked out by hand from the
litres that each is due, ten a minute after three to roll the hose out.
"""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from tests.desk.hollow_plot import begun

from lattermath.desk.plan_visit import plan
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.plan import Plan, Task

pytestmark = pytest.mark.usefixtures("few_draws")

ON = date(2016, 8, 1)
PLOT = """format = 1
season = 2016
[place]
name = "Dry end"
latitude = 33.8
longitude = -4.8
altitude_m = 850
time_zone = "Africa/Casablanca"
usual_first_frost = "12-01"
[visiting]
days = ["mon", "thu", "sat"]
arrive = 18:30:00
minutes = {minutes}
[water]
hose = true
{beds}
[[week]]
first = 2016-07-24
highs_c = [34, 35, 36, 35, 35, 34, 35]
lows_c = [19, 20, 20, 19, 20, 19, 19]
rain_mm = [0, 0, 0, 0, 0, 0, 0]
"""
GROWN = (("Tomatoes", "tomato", 8), ("Peppers", "sweet pepper", 8), ("Aubergines", "aubergine", 5),
         ("Okra", "okra", 10))  # fmt: skip
BEDS = "".join(
    f"""[[bed]]
name = "{name} bed"
length_m = 5
width_m = 1
[[planting]]
name = "{name}"
crop = "{crop}"
plants = {plants}
bed = "{name} bed"
set_out = 2016-05-15
bearing_since = 2016-07-15
"""
    for name, crop, plants in GROWN
)


@pytest.fixture(scope="module")
def under(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("dry"))


@cache
def of(under: Path, minutes: int) -> Plan:
    folder = under / f"{minutes}"
    folder.mkdir()
    begun(folder, PLOT.format(minutes=minutes, beds=BEDS))
    return plan(folder, ON)


def poured(made: Plan) -> dict[str, float]:
    water = (task for task in made.visits[0].tasks if task.kind == "water")
    return {a.planting or "": a.quantity for task in water for a in task.amounts}


def watering(made: Plan) -> list[Task]:
    return [task for task in made.visits[0].tasks if task.kind == "water"]


@pytest.mark.parametrize("minutes", [13, 18, 25, 30])
def test_as_many_are_watered_as_there_are_minutes_for(under, minutes) -> None:
    due = poured(of(under, 240))
    assert len(due) >= 3 and 3 + sum(due.values()) / 10 > 30  # not all of it fits
    made = of(under, minutes)
    got = poured(made)
    assert got and all(litres == due[key] for key, litres in got.items())
    assert sum(task.minutes for task in watering(made)) <= minutes
    left = {key: litres for key, litres in due.items() if key not in got}
    spent = 3 + sum(got.values()) / 10
    assert left and min(left.values()) / 10 > minutes - spent - 1  # no other would have fitted


def test_what_finds_no_time_is_told_by_planting_and_nobody_carries_a_hose(under) -> None:
    made = of(under, 25)
    left = {key for key in poured(of(under, 240)) if key not in poured(made)}
    told = made.visits[0].water_left
    assert told.startswith("no time for all of it") and "carry" not in told
    sheet = " ".join(text_sheet(made, made.plot).split())
    for key in left:
        name = key
        assert name in told and f"Water: {name}" in sheet


def test_the_likelier_to_go_short_comes_first(under) -> None:
    """By the chances that the sheet itself gives, in tenths."""
    says = [b.says for task in watering(of(under, 240)) for b in task.because]
    found = [re.match(r"(\w+): (?:more than )?(\d+) in 10 that they go short", one) for one in says]
    chance = {one[1]: int(one[2]) for one in found if one is not None}
    assert len(chance) >= 3 and len(set(chance.values())) > 1
    for minutes in (13, 18, 25, 30):
        got = set(poured(of(under, minutes)))
        dry = [chance[key] for key in chance if key not in got]
        assert min(chance[key] for key in got) >= max(dry)
