"""No care is asked of what comes out within a fortnight: a story of one summer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tending import tending
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.desk.work_out import work_out

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """[[planting]]
key = "melons"
name = "Melons"
crop = "melon"
plants = 5
set_out = 2011-06-01
[[planting]]
key = "kale"
name = "Kale"
crop = "kale"
plants = 5
set_out = 2011-06-01
"""
)
DAY = date(2011, 7, 16)


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> tuple[SeasonFacts, WorkedOut]:
    folder: Path = opened(tmp_path_factory.mktemp("soon") / "plot", FILE)
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, DAY, None)
    return facts, work_out(facts, lambda _, __: None)


def melons_go(facts: SeasonFacts, made: WorkedOut, day: date) -> WorkedOut:
    """The same with the melons decided to come out on a day, kale to go in."""
    decided = made.crops.decisions["melons"]
    chosen = replace(decided.chosen, fate="replace", crop="kale", begins=facts.day_index(day))
    decisions: Mapping[str, object] = {
        **made.crops.decisions,
        "melons": replace(decided, chosen=chosen),
    }
    return replace(made, crops=replace(made.crops, decisions=decisions))


def asked(facts: SeasonFacts, made: WorkedOut) -> str:
    """All that tending asks on the first visit."""
    return " ".join(task.says.lower() for task in tending(facts, facts.visits[0], made))


def test_what_stays_is_weeded_and_fed(worked: tuple[SeasonFacts, WorkedOut]) -> None:
    says = asked(*worked)
    assert "weed: melons" in says or "weed: kale, melons" in says
    assert "kale" in says


@pytest.mark.parametrize("days", [0, 2, 7, 14])
def test_what_goes_within_a_fortnight_is_not(
    worked: tuple[SeasonFacts, WorkedOut], days: int
) -> None:
    facts, made = worked
    says = asked(facts, melons_go(facts, made, facts.visits[0] + timedelta(days)))
    assert "melons" not in says and "kale" in says


def test_what_goes_in_three_weeks_still_is(worked: tuple[SeasonFacts, WorkedOut]) -> None:
    facts, made = worked
    says = asked(facts, melons_go(facts, made, facts.visits[0] + timedelta(21)))
    assert "melons" in says
