"""A plan asked for again with nothing changed is the same plan, and is not worked out again."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk import clock, lay_out
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.events import Watering, Withdrawal

pytestmark = pytest.mark.usefixtures("few_draws")

VISITING = 'days = ["tue", "sat"]\nminutes = 75'
PLOT = HOLLOW.format(place=NORTH, visiting=VISITING, courgettes=3, more="", week=MILD)
TUESDAY = date(2016, 8, 2)
FIVE = datetime(2016, 8, 2, 16, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return begun(tmp_path, PLOT)


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """The instants of the plans that were worked out, one by one."""
    instants: list[datetime] = []
    really = lay_out.laid_out

    def laid_out(facts, previous, tell):
        instants.append(facts.now)
        return really(facts, previous, tell)

    monkeypatch.setattr(lay_out, "laid_out", laid_out)
    return instants


def test_the_same_plan_is_read_to_the_last_byte(folder: Path, worked_out: list[datetime]) -> None:
    first = plan(folder, TUESDAY)
    again = plan(folder, TUESDAY)
    assert len(worked_out) == 1
    assert plan_json(again, marks=True) == plan_json(first, marks=True)
    assert again == first and again.stamp == first.stamp
    hours = [task.starts for visit in again.visits for task in visit.tasks if task.starts]
    assert hours and {hour.tzinfo for hour in hours} == {ZoneInfo("Europe/London")}


def test_what_is_kept_is_what_was_worked_out(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    really = lay_out.laid_out
    monkeypatch.setattr(lay_out, "laid_out", lambda *a: made.append(really(*a)) or made[0])
    assert replace(plan(folder, TUESDAY), since=None) == made[0][0]


@pytest.mark.parametrize("days_ago", [0, 3])
def test_an_entry_more_asks_for_a_new_plan(
    folder: Path, worked_out: list[datetime], days_ago: int
) -> None:
    plan(folder, TUESDAY)
    log(folder, Watering(40.0, planting="courgettes", way="foot"), FIVE - timedelta(days=days_ago))
    plan(folder, TUESDAY)
    assert len(worked_out) == 2


def test_an_edit_of_the_plot_file_asks_for_a_new_plan(
    folder: Path, worked_out: list[datetime]
) -> None:
    plan(folder, TUESDAY)
    file = folder / "plot.toml"
    file.write_text(file.read_text("utf-8").replace("minutes = 75", "minutes = 50"), "utf-8")
    assert plan(folder, TUESDAY).visits[0].minutes <= 50
    assert len(worked_out) == 2


def test_a_plan_of_now_stands_for_an_hour_while_nothing_changes(
    folder: Path, worked_out: list[datetime], monkeypatch: pytest.MonkeyPatch
) -> None:
    def at(minutes: int) -> None:
        monkeypatch.setattr(clock, "now", lambda: FIVE + timedelta(minutes=minutes))

    at(0)
    first = plan(folder)
    at(59)
    assert plan(folder).as_of == first.as_of == FIVE
    at(60)
    assert plan(folder).as_of == FIVE + timedelta(hours=1)
    at(70)
    log(folder, Watering(40.0, planting="courgettes", way="foot"), FIVE + timedelta(minutes=65))
    assert plan(folder).as_of == FIVE + timedelta(minutes=70)
    assert len(worked_out) == 3


def test_a_plan_without_an_entry_taken_back_has_a_stamp_of_its_own(folder: Path) -> None:
    """Neither the first nor the last entry: the last one that counts is the same as before."""
    evening = datetime(2016, 8, 1, 18, tzinfo=UTC)
    wrong = log(folder, Watering(litres=5.0), evening)
    log(folder, Watering(litres=6.0), evening)
    with_it = plan(folder, TUESDAY)
    log(folder, Withdrawal(), supersedes=wrong.id)
    without = plan(folder, TUESDAY)
    assert without.stamp != with_it.stamp


def test_a_part_of_another_days_sheet_is_no_last_sheet(folder: Path) -> None:
    """`picking` of another day shows no task, so no number of it can be asked about or ticked."""
    first = plan(folder, TUESDAY)
    with open_journal(folder_at(folder)) as journal:
        before = journal.plans()
    plan(folder, TUESDAY + timedelta(days=2), sheet=False)
    with open_journal(folder_at(folder)) as journal:
        assert journal.plans() == before
    assert before[-1].as_of == first.as_of.isoformat()
