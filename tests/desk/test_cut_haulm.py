"""Potatoes after their haulm was cut: nothing grows, and all of it comes at the lifting."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.belief.crop_belief import CropBelief, believe
from lattermath.belief.formed import formed_share, kept_of_formed
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


def uncut(folder: Path, day: date) -> CropBelief:
    """The potatoes as if nobody had cut anything."""
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, day, None)
    spuds = facts.plot.planting("spuds")
    return believe(spuds, growing_season(facts), [], facts.dice)


def grown_by(belief: CropBelief, column: int) -> np.ndarray:
    """What lies in the ground by a morning, worked out draw by draw. [kg]

    Tubers swell evenly in warmth, from half of what the first lifting needs on.
    """
    found = []
    for age, kg in zip(belief.age, belief.kg, strict=True):
        start = min(age.min(), -1.0)
        share = (1.0 - age[column] / start - 0.5) / 0.5
        found.append(kg[:column].sum() + kg[column:].sum() * min(max(share, 0.0), 1.0))
    return np.array(found)


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
    work, _ = log_done(folder, cut.id, "as written", at=datetime(2011, 7, 30, 20, 0))
    assert work.payload == Care("spuds", "cut haulm")
    after, tomorrow = kg_of(folder, date(2011, 7, 31))
    lift = tomorrow - 1 + 14
    days = np.flatnonzero(after[:, tomorrow - 1 :].sum(0)) + tomorrow - 1
    assert days.tolist() == [lift]
    grown = grown_by(uncut(folder, date(2011, 7, 31)), tomorrow - 1)
    assert after[:, lift] == pytest.approx(grown)


@pytest.mark.parametrize("day", [date(2011, 6, 25), date(2011, 7, 9), date(2011, 7, 20)])
def test_tubers_cut_before_they_are_full_grown_are_small_and_there(folder: Path, day: date) -> None:
    """66, 80 and 91 days after planting: more each time, and less than where they grow on."""
    log(folder, Sighting("spuds", "blight", "first seen"), datetime(2011, 6, 24, 19, 0))
    kg, today = kg_of(folder, day)
    whole = uncut(folder, day)
    assert kg[:, today:].sum(1) == pytest.approx(grown_by(whole, today))
    assert 0.0 < kg[:, today:].sum(1).mean() < whole.kg.sum(1).mean()


def test_eaten_leaves_do_not_unmake_tubers_that_are_there(folder: Path) -> None:
    """Worked out day by day: leaves that make nothing from tomorrow on leave what has formed."""
    whole = uncut(folder, date(2011, 7, 9))
    n_left = whole.kg.shape[1] - whole.today
    half = np.full((len(whole.kg), n_left), 0.5)
    size = formed_share(whole)
    kept = kept_of_formed(whole, half)
    for draw in (0, 7):
        there = size[draw, whole.today]
        for day in range(n_left):
            now, then = size[draw, whole.today + day], size[draw, whole.today + day + 1]
            there += 0.5 * (then - now)
            if then > 0:
                assert kept[draw, day] == pytest.approx(there / then)
    none = kept_of_formed(whole, np.zeros_like(half))
    late = none[:, -1]
    assert late == pytest.approx(size[:, whole.today] / size[:, -1])
    assert 0.1 < late.mean() < 0.9
    beans = replace(whole, traits=replace(whole.traits, crop="bean_bush"))
    assert kept_of_formed(beans, half) is half


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
    assert [option.says for option in verdict.options] == ["haulm off, tubers lifted"]
    assert verdict.options[0].kg.low > 0
    row = "table:crops/potato/picking.decline"
    assert any(row in reason.rests_on for reason in verdict.because)
    assert not any("stop_when" in str(reason.rests_on) for reason in verdict.because)
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
