"""Potatoes after their haulm was cut: nothing grows, and all of it comes at the lifting."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.cut_haulm import after_cutting
from lattermath.desk.leaf_disease_answers import washed_after
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.plan_water import needs_at, soils
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.back_of_sheet import text_back
from lattermath.vocabulary.events import Care, Sighting
from lattermath.vocabulary.plan import Task

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """[[planting]]
key = "spuds"
name = "Potatoes"
crop = "potato"
plants = 20
sown = 2011-04-20
[[lot]]
key = "young"
crop = "cucumber"
plants = 6
sown = 2011-07-12
where = "plot"
watered = "daily"
[[planting]]
key = "cucumbers"
name = "Cucumbers"
crop = "cucumber"
plants = 4
set_out = 2011-06-04
"""
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    opened(tmp_path, FILE)
    return tmp_path


def kg_of(folder: Path, day: date) -> tuple[np.ndarray, int]:
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, day, None)
    return believe_crops(facts, growing_season(facts))["spuds"].kg, facts.day_index(day)


def test_a_ticked_cut_stops_growth_and_the_rest_comes_at_the_lifting(folder: Path) -> None:
    log(folder, Sighting("spuds", "blight", "first seen"), datetime(2011, 7, 29, 19, 0))
    made = plan(folder, date(2011, 7, 30))
    tasks = made.visits[0].tasks
    cut = next(task for task in tasks if "haulm" in task.says)
    said_so = next(one for one in made.picking if one.planting == "spuds")
    assert not said_so.clear_now and said_so.safe_from is not None
    assert (said_so.safe_from.date() - made.visits[0].date).days == 14
    touched = [task for task in tasks if task.planting == "spuds"]
    clean = [task for task in tasks if task.planting == "cucumbers" and task.part != "last job"]
    assert touched and clean and tasks.index(touched[0]) > tasks.index(clean[-1])
    rounds = [task for task in tasks if task.kind == "care" and task.planting is None]
    assert not any("otatoes" in task.says for task in rounds)
    before, today = kg_of(folder, date(2011, 7, 30))
    work, _ = log_done(folder, cut.id, "as written", at=datetime(2011, 7, 30, 20, 0))
    assert work.payload == Care("spuds", "cut haulm")
    after, tomorrow = kg_of(folder, date(2011, 7, 31))
    lift = tomorrow - 1 + 14
    days = np.flatnonzero(after[:, tomorrow - 1 :].sum(0)) + tomorrow - 1
    assert days.tolist() == [lift]
    assert after[:, lift] == pytest.approx(before[:, :today].sum(axis=1), rel=0.02)


def test_no_water_is_carried_to_haulm_that_is_cut_that_evening(folder: Path) -> None:
    """Watered on the evening before blight was seen; nothing grows after the cut."""

    def needs() -> list[str]:
        with open_journal(folder_at(folder)) as journal:
            facts = facts_of(folder_at(folder), journal, date(2011, 7, 30), None)
        crops = believe_crops(facts, growing_season(facts))
        grown = {key: after_cutting(facts, one) for key, one in crops.items()}
        next_one = date(2011, 8, 2)
        found = needs_at(facts, facts.today, next_one, grown, soils(facts, grown))
        return [one.key for one in found]

    log(folder, Sighting("spuds", "aphids", "first seen"), datetime(2011, 7, 28, 19, 0))  # it lives
    assert "spuds" in needs()
    log(folder, Sighting("spuds", "blight", "first seen"), datetime(2011, 7, 29, 19, 0))
    assert "spuds" not in needs() and "cucumbers" in needs()
    log(folder, Care("spuds", "cut haulm"), datetime(2011, 7, 29, 20, 0))
    assert "spuds" not in needs()


def test_everything_said_of_blighted_haulm_follows_the_cut(folder: Path) -> None:
    """One answer on the sheet: no treatment, no fight, no kilograms after the lifting."""
    log(folder, Sighting("spuds", "blight", "first seen"), datetime(2011, 7, 29, 19, 0))
    made = plan(folder, date(2011, 7, 30))
    words = " ".join(said.what + " " + " ".join(b.says for b in said.because)
                     for said in made.visits[0].not_today)  # fmt: skip
    assert "all haulm of Potatoes is cut" in words and "Nothing on hand takes" not in words
    blight = next(one for one in made.populations if one.organism == "late_blight")
    assert "all haulm of Potatoes" in blight.course_says and "costs about" not in blight.course_says
    verdict = next(one for one in made.verdicts if one.planting == "spuds")
    assert verdict.says == "cut all haulm at once, lift two weeks later"
    back = " ".join(text_back(made, "Plot", "metric").split())
    assert "Potatoes: cut all haulm at once" in back and "Potatoes: fight" not in back
    assert not any(option.fate == "cover" for option in verdict.options)
    kg, today = kg_of(folder, date(2011, 7, 30))
    days = np.flatnonzero(kg[:, today:].sum(0))
    assert days.tolist() in ([], [14])


def test_who_picks_sick_plants_is_told_to_wash_before_the_next() -> None:
    """Picking stands before looks and tending, of clean plants too."""
    sick = {"cucumbers": (SimpleNamespace(splash=True),), "lousy": (SimpleNamespace(splash=False),)}
    permits: Any = SimpleNamespace(sick_on=lambda key: sick.get(key, ()))
    keys = ("cucumbers", "lousy", "clean")
    told = washed_after([Task(key, "pick", "pick", key, 5, planting=key) for key in keys], permits)
    assert [any("Wash" in words for words in one.cautions) for one in told] == [True, False, False]


def test_cups_beside_what_lives_on_them_too_are_named_and_counted(folder: Path) -> None:
    clean = plan(folder, date(2011, 7, 30))
    log(
        folder,
        Sighting("cucumbers", "melon aphid", "count", counts=(12, 30, 8)),
        datetime(2011, 7, 29, 19, 0),
    )
    sick = plan(folder, date(2011, 7, 30))
    says = [next(a.says for a in made.standby if a.lot == "young") for made in (clean, sick)]
    assert "apart from sick plants" in says[0]
    assert "apart from Cucumbers (melon aphid" in says[1]
    advice = next(a for a in sick.standby if a.lot == "young")
    assert any("15 in 100" in because.says for because in advice.because)
