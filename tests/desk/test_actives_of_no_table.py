"""Actives that the tables lack: taken, never planned, and barring like any spray. All invented."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk import clock
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.shelf_rulings import shelf_rulings
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting, Treatment

pytestmark = pytest.mark.usefixtures("few_draws")

SHELF = """
[[shelf]]
key = "spray"
name = "Shelf spray"
active = "{active}"
group = "{group}"
country = "invented"
sold_to_amateurs = true
re_entry_hours = 4
max_temperature_c = "none"
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "no bee wording"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
[shelf.crops.courgette]
pre_harvest_days = 3
retreat_days = 7
season_max = 3
rate_ml_per_l = 1
max_l_per_m2 = 1
"""
SPRAYED = datetime.fromisoformat("2016-08-01T19:00:00+01:00")
TUESDAY = date(2016, 8, 2)


@pytest.fixture(params=["deltamethrin", "rapeseed oil", "pyrethrins and fatty acids"])
def folder(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: datetime.fromisoformat("2016-08-02T08:00:00+00:00"))
    place = f'{NORTH}\ncountry = "invented"'
    shelf = SHELF.format(active=request.param, group="3A" if "thrin" in request.param else "NC")
    return begun(
        tmp_path,
        HOLLOW.format(
            place=place, visiting='days = ["tue", "sat"]', courgettes=3, more=shelf, week=MILD
        ),
    )


def test_it_is_never_planned_and_the_sheet_says_so(folder: Path) -> None:
    counted = Sighting("courgettes", "melon_aphid", "count", looked_at=10, counts=(90,) * 10)
    log(folder, counted, SPRAYED)
    made = plan(folder, TUESDAY)
    assert not [t for v in made.visits for t in v.tasks if t.product == "spray"]
    assert not [s for p in made.populations for s in p.course if s.product == "spray"]
    assert [w for w in made.warnings if "is not in our tables" in w]
    (product,) = shelf_rulings(folder, TUESDAY).products
    assert all(use.ruling.bars for use in product.uses)


def test_logged_it_bars_by_its_label(folder: Path) -> None:
    log(folder, Treatment(("courgettes",), "", "spray"), SPRAYED)
    (clear,) = (one for one in plan(folder, TUESDAY).picking if one.planting == "courgettes")
    assert clear.safe_from == datetime.fromisoformat("2016-08-04T19:00:00+01:00")


def test_without_a_label_it_bars_until_one_is_copied(folder: Path) -> None:
    log(folder, Treatment(("courgettes",), "cypermethrin"), SPRAYED)
    (clear,) = (one for one in plan(folder, TUESDAY).picking if one.planting == "courgettes")
    assert not clear.clear_now and clear.safe_from is None


@pytest.mark.parametrize(("slip", "meant"), [("pyretrins", "pyrethrins"), ("water jett", "water")])
def test_what_is_nearly_a_known_word_is_asked_about(folder: Path, slip: str, meant: str) -> None:
    with pytest.raises(InputError, match=f"Did you mean {meant}"):
        log(folder, Treatment(("courgettes",), slip), SPRAYED)


def test_a_near_slip_of_a_known_active_is_asked_about_and_another_active_is_none() -> None:
    crosswalk = load_tables().crosswalk
    assert crosswalk.active("sulfurr") is None and crosswalk.active("pyretrins") is None
    assert crosswalk.active("cypermethrin") == "cypermethrin"
