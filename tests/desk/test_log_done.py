"""A tick writes down what the task names, and what was just treated is said to be closed."""

import re
import shutil
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.after_treatment import after_treatment
from lattermath.desk.demo import Shown
from lattermath.desk.log_done import log_done
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_picking import clearances
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.own_cautions import own_cautions
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import (
    Care,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Watering,
    Withdrawal,
)
from lattermath.vocabulary.plan import Plan, Task

pytestmark = pytest.mark.usefixtures("few_draws")

EVENING, TUESDAY = datetime(2011, 7, 30, 20, 15), datetime(2011, 8, 2, 20, 15)


@pytest.fixture(scope="module")
def shown(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Plan]:
    made = make_demo(tmp_path_factory.mktemp("shown") / "plot")
    return made.folder, made.plan


@pytest.fixture
def folder(shown: tuple[Path, Plan], tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown[0], tmp_path / "plot"))


@pytest.fixture
def ground(tmp_path: Path) -> Path:
    """The same ground with nothing seen on it, which is planned sooner."""
    return demo_ground(tmp_path / "ground")


def task(plan: Plan, kind: str) -> Task:
    return next(t for t in plan.visits[0].tasks if t.kind == kind)


def a_spray(made: Plan) -> Task:
    return next(t for t in made.visits[0].tasks if t.kind == "treat" and t.product)


def test_a_ticked_spray_bars_the_picking(shown: tuple[Path, Plan], folder: Path) -> None:
    spray = a_spray(shown[1])
    events = log_done(folder, spray.id, "as written", at=EVENING)
    assert isinstance(events[0].payload, Treatment)
    assert events[0].payload.product == spray.product
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, date(2011, 7, 31), None)
    barred = clearances(facts, own_cautions(facts.tables), facts.now)[str(spray.planting)]
    assert not barred.clear_now and barred.safe_from is not None
    assert barred.safe_from.replace(tzinfo=None) == datetime(2011, 7, 31, 20, 15)  # label: 1 day


def test_what_a_tick_does_not_say_is_asked_for(shown: tuple[Path, Plan], folder: Path) -> None:
    pick = task(shown[1], "pick")
    with pytest.raises(InputError, match=f"lattermath log picked {pick.planting}"):
        log_done(folder, pick.id, "as written", at=EVENING)
    with pytest.raises(InputError, match="log treated"):
        log_done(folder, a_spray(shown[1]).id, "otherwise", at=EVENING)
    assert len(log_done(folder, task(shown[1], "pick").id, "not done", at=EVENING)) == 1


def test_a_ticked_watering_waters_what_the_round_names(
    shown: tuple[Path, Plan], folder: Path
) -> None:
    water = task(shown[1], "water")
    *given, tick = log_done(folder, water.id, "as written", at=EVENING)
    assert isinstance(tick.payload, TaskDone)
    assert [one.payload.litres for one in given if isinstance(one.payload, Watering)] == [
        amount.quantity for amount in water.amounts
    ]
    assert [getattr(one.payload, "planting", "") for one in given] == ["beans"]


def test_a_ticked_tending_is_due_again_only_after_its_days(ground: Path) -> None:
    visits = plan(ground, EVENING.date()).visits
    tying = next(t for t in visits[1].tasks if "Aubergines: tie in" in t.says)
    work, _ = log_done(ground, tying.id, "as written", at=TUESDAY)
    assert work.payload == Care("aubergines", "tie")
    after = [t.says for visit in plan(ground, TUESDAY.date()).visits for t in visit.tasks]
    assert tying.says not in after


def test_a_task_of_no_sheet_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="no sheet has this task"):
        log_done(folder, "zzz", "as written", at=EVENING)


def test_a_tick_by_the_number_that_the_sheet_prints(shown: tuple[Path, Plan], folder: Path) -> None:
    sheet = text_sheet(shown[1], "Plot 14")
    printed = re.findall(r"^ ?(\d+) (\S+ ?\S*)", sheet, re.M)
    assert len(printed) == len(shown[1].visits[0].tasks) > 5
    for number, words in printed:
        event = log_done(folder, number, "not done", at=EVENING)[-1]
        assert isinstance(event.payload, TaskDone)
        task = next(t for t in shown[1].visits[0].tasks if t.id == event.payload.task)
        assert task.says.lower().startswith(words.lower())
        said = f"task {task.id}, not done ({words.rstrip(':')}"
        assert said.lower() in echo(folder, event)[0].lower()
    last = len(printed)
    for wrong in ("0", str(last + 1), "99", "-1"):
        with pytest.raises(InputError, match=f"sheet of Sat 30 Jul has the tasks 1 to {last}"):
            log_done(folder, wrong, "not done", at=EVENING)


def test_what_is_pulled_sick_is_ticked_off_as_bagged(ground: Path) -> None:
    """The sheet's own words say where the plants go; the entry must say the same."""
    blight = Sighting("tomatoes", "late_blight", "severity", percent=20.0)
    log(ground, blight, datetime(2011, 7, 30, 17, 0))
    pulls = [t for t in plan(ground, date(2011, 7, 30)).visits[0].tasks if t.kind == "pull"]
    gone: dict[str, str] = {}
    for pull in pulls:
        pulled = log_done(ground, pull.id, "as written", at=EVENING)[0].payload
        assert isinstance(pulled, Pulling)
        assert (pulled.to == "compost") == ("not compost" not in pull.says)
        gone[pulled.planting] = pulled.to
    assert gone["tomatoes"] == "bagged off the plot"
    assert gone.get("courgettes", "compost") == "compost"


def test_no_tick_where_no_sheet_is_kept(folder: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare"
    bare.mkdir()
    for file in ("plot.toml", *(f.name for f in folder.glob("*.csv"))):
        shutil.copy(folder / file, bare / file)
    start(bare, datetime(2011, 7, 1, 8, 0).astimezone())
    with pytest.raises(InputError, match=r"no sheet is kept yet.*lattermath plan"):
        log_done(bare, "3", "not done", at=EVENING)


def said_after(folder: Path, planting: str, at: datetime = EVENING) -> str:
    done = Treatment((planting,), "", "soap")
    return " ".join(after_treatment(folder, log(folder, done, at)))


def test_what_was_treated_is_said_to_be_closed(folder: Path) -> None:
    assert said_after(folder, "aubergines") == (
        "Aubergines: not to be picked before Sun 31 Jul 20:15."
    )
    again = said_after(folder, "aubergines", datetime(2011, 7, 31, 20, 20))
    assert "before Mon 1 Aug 20:20" in again and "too soon by the label, 5 days" in again


def test_breaches_are_kept_and_said(folder: Path) -> None:
    assert "do not pick" in said_after(folder, "melon")
    assert "does not list this crop" in said_after(folder, "melon")
    assert "a neighbour's plants" in said_after(folder, "next-door")


def test_crops_are_named_as_growers_do_or_refused(folder: Path) -> None:
    sown = log(folder, Sowing("courgette", 3, lot="c9"), EVENING)
    assert isinstance(sown.payload, Sowing) and sown.payload.crop == "summer_squash"
    out = log(folder, SettingOut("cucumbers-d", "cucumber", 2, bed="g"), EVENING)
    assert isinstance(out.payload, SettingOut) and out.payload.crop == "cucumber_slicing"
    with pytest.raises(InputError, match="no such crop"):
        log(folder, Sowing("tomatoe tree", 3, lot="c8"), EVENING)
    plot = plot_now(folder)
    assert {"c9", "young-courgettes"} <= {lot.key for lot in plot.lots}
    assert plot.planting("cucumbers-d").crop == "cucumber_slicing"


def test_what_has_not_happened_is_no_entry(folder: Path) -> None:
    with pytest.raises(InputError, match="not come yet"):
        log(folder, Picking("courgettes", 1.0), datetime(2191, 1, 1, 10, 0))


def test_rows_of_the_plot_file_are_changed_there(folder: Path) -> None:
    with pytest.raises(InputError, match=r"plot\.toml"):
        log(folder, Withdrawal(), EVENING, supersedes="1")


def test_nothing_is_sprayed_after_none_was_found_but_on_a_new_look(folder: Path) -> None:
    none = Sighting("aubergines", "whitefly", "count", looked_at=10, total=0)
    log(folder, none, datetime(2011, 7, 30, 17, 0))
    for visit in plan(folder, date(2011, 7, 30)).visits:
        for one in visit.tasks:
            if one.kind == "treat" and one.planting == "aubergines":
                assert one.only_if


def test_a_ticked_round_is_written_down_for_each_planting(ground: Path) -> None:
    made = plan(ground, date(2011, 7, 28))
    weeds = next(t for t in made.visits[0].tasks if t.says.startswith("Weed: "))
    events = log_done(ground, weeds.id, "as written", at=datetime(2011, 7, 28, 19, 0))
    done = [e.payload for e in events if isinstance(e.payload, Care)]
    assert len(done) == len(weeds.amounts) >= 1
    assert {one.work for one in done} == {"weed"}
    again = plan(ground, date(2011, 7, 30))
    now = [t for v in again.visits for t in v.tasks if t.says.startswith("Weed: ")]
    names = {a.what for t in now[:1] for a in t.amounts}
    assert names.isdisjoint({a.what for a in weeds.amounts})
