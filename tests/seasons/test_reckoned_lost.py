"""Peppers that aphids take whole: the front says so, and what is missing to fight them."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.reckoned_lost import with_lost
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Option, Plan, Population, Presence, Span, Verdict
from lattermath.vocabulary.ruling import Because

NONE = Span(0.0, 0.0, 0.0, "")
pytestmark = pytest.mark.usefixtures("few_draws")

PEPPERS = """region = "north_america"
{country}
[[planting]]
key = "peppers"
name = "Peppers"
crop = "sweet pepper"
plants = 8
set_out = 2011-06-01
in_bloom = false
[[shelf]]
key = "soap"
name = "Shelf soap (invented)"
active = "soap"
form = "spray"
{sold}
sold_to_amateurs = true
invented = true
re_entry_hours = 4
max_temperature_c = "none"
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
litres_left = 20
[shelf.crops.pepper]
pre_harvest_days = 0
retreat_days = 5
season_max = "none"
rate_ml_per_l = 20
max_l_per_m2 = "none"
plant_back_days = "none"
"""


BESIDE = """
[[planting]]
key = "aubergines"
name = "Aubergines"
crop = "aubergine"
plants = 6
set_out = 2011-06-01
in_bloom = false
"""


def made(folder: Path, *, country: str = "", each: int = 300, beside: str = "") -> Plan:
    held = f'country = "{country}"' if country else ""
    opened(folder, PLACE + PEPPERS.format(country=held, sold=held) + beside)
    log(
        folder,
        Sighting("peppers", "green peach aphid", "count", counts=(each,) * 10),
        datetime(2011, 6, 20, 19, 0),
    )
    return plan(folder, date(2011, 6, 21))


def decided(folder: Path, *, country: str = "", each: int = 300) -> Verdict:
    verdicts = made(folder, country=country, each=each).verdicts
    return next(one for one in verdicts if one.planting == "peppers")


def middle(one: Verdict) -> float:
    return next(o.kg.median for o in one.options if o.fate == one.choice)


def test_what_is_lost_is_told_as_lost_with_what_is_missing(tmp_path: Path) -> None:
    """It read: nothing that may be used is worth its work, with no word of a harvest of nothing."""
    lost = decided(tmp_path)
    assert round(middle(lost), 1) == 0.0
    assert "reckoned lost to green peach aphid" in lost.says
    assert "for want of it in the plot file: a line for Shelf soap (invented)" in lost.says
    assert lost.minds


def test_nothing_is_told_as_missing_where_all_is_written_down(tmp_path: Path) -> None:
    lost = decided(tmp_path, country="invented")
    assert "Shelf soap" not in lost.says


def test_what_still_gives_something_is_not_told_as_lost(tmp_path: Path) -> None:
    kept = decided(tmp_path, country="invented", each=1)
    assert middle(kept) > 0.1 and "lost" not in kept.says and "for want" not in kept.says


def test_a_bed_given_up_for_what_came_from_beside_is_looked_at_first(tmp_path: Path) -> None:
    """Nobody looked at the aubergines: whether they are lost rests on the peppers beside them."""
    told = made(tmp_path, beside=BESIDE)
    (lost,) = [one for one in told.verdicts if one.planting == "aubergines"]
    assert middle(lost) < 0.05
    assert "reckoned lost to green peach aphid, though nobody looked for it there yet" in lost.says
    first = told.visits[0]
    (look,) = [t for t in first.tasks if t.kind == "look" and t.planting == "aubergines"]
    assert "green_peach_aphid" in {one.organism for one in look.wanted} and look.must
    number = [task.id for task in first.tasks].index(look.id) + 1
    assert str(number) in first.short_of_time
    log(
        tmp_path,
        Sighting("aubergines", "green peach aphid", "count", counts=(0,) * 10),
        datetime(2011, 6, 21, 18, 0),
    )
    again = plan(tmp_path, date(2011, 6, 22)).visits[0]
    assert not [t for t in again.tasks if "whether the crop is lost" in t.says]


@pytest.mark.parametrize(("spots", "hose"), [("other", True), ("peppers", False)])
def test_no_hose_is_missed_where_leaves_are_to_stay_dry(spots: str, *, hose: bool) -> None:
    """Beans with halo spots were told that a hose was missing: its jet is barred by the spots."""
    seen = Because("halo spots seen on it: water on the leaves spreads it", holds=False,
                   who="our caution", rests_on=("event:7",))  # fmt: skip
    no_hose = Because("no hose", holds=False, who="our caution", rests_on=("plot:water/hose",))
    event: Any = SimpleNamespace(serial=7, payload=SimpleNamespace(planting=spots))
    facts: Any = SimpleNamespace(
        plot=SimpleNamespace(shelf=(), standing=tuple), events=(event,), tables=load_tables()
    )
    aphids = Population(
        "melon_aphid", ("peppers",), "", (), (), "", NONE, because=(seen, no_hose), called="aphids",
        where=(Presence("peppers", True, NONE),),
    )  # fmt: skip
    pests: Any = SimpleNamespace(
        cares={}, populations=(aphids,), takes={("melon_aphid", "peppers"): 0.9}
    )
    left = Option("leave", "", NONE, NONE, 0.0)
    says = "let run; aphids are on it, and none pays; round spots are on it"
    run = Verdict("peppers", "let run", "leave", (left,), NONE, 0.0, 0.0, None, says)
    lacks = "; not weighed, for want of it in the plot file: a hose" if hose else ""
    assert with_lost(facts, run, pests).says == (
        f"let run, reckoned lost to aphids, and none pays{lacks}; round spots are on it"
    )
