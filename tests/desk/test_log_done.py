"""A tick writes down what the task names, and what was just treated is said to be closed."""

import shutil
from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk.after_treatment import after_treatment
from lattermath.desk.demo import demo
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import (
    Picking,
    SettingOut,
    Sighting,
    Sowing,
    Treatment,
    Withdrawal,
)
from lattermath.vocabulary.plan import Plan, Task

EVENING = datetime(2011, 7, 30, 20, 15)
THURSDAY = datetime(2011, 8, 4, 20, 15)  # the first evening with a spray


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan]:
    made = demo(tmp_path_factory.mktemp("shown") / "plot")
    return made.folder, made.plan


@pytest.fixture
def folder(shown: tuple[Path, Plan], tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown[0], tmp_path / "plot"))


def task(plan: Plan, kind: str) -> Task:
    return next(t for t in plan.visits[0].tasks if t.kind == kind)


def test_a_ticked_spray_bars_the_picking(folder: Path) -> None:
    spray = task(plan(folder, THURSDAY.date()), "treat")
    events = log_done(folder, spray.id, "as written", at=THURSDAY)
    assert isinstance(events[0].payload, Treatment)
    assert events[0].payload.product == spray.product
    clear = {c.planting: c for c in plan(folder, date(2011, 8, 5)).picking}
    barred = clear[str(spray.planting)]
    assert not barred.clear_now and barred.safe_from is not None
    assert barred.safe_from.replace(tzinfo=None) == datetime(2011, 8, 5, 20, 15)  # label: 1 day


def test_what_a_tick_does_not_say_is_asked_for(shown: tuple[Path, Plan], folder: Path) -> None:
    with pytest.raises(InputError, match="lattermath log picked cucumbers"):
        log_done(folder, task(shown[1], "pick").id, "as written", at=EVENING)
    with pytest.raises(InputError, match="log treated"):
        spray = task(plan(folder, THURSDAY.date()), "treat")
        log_done(folder, spray.id, "otherwise", at=THURSDAY)
    assert len(log_done(folder, task(shown[1], "pick").id, "not done", at=EVENING)) == 1


def test_a_task_of_no_sheet_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="no sheet has this task"):
        log_done(folder, "zzz", "as written", at=EVENING)


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
    assert plan(folder, date(2011, 7, 30)).visits


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
