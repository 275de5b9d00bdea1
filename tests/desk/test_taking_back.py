"""What one press wrote is taken back whole: what stands afterwards is counted from the journal."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.entry_ids import new_id
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.taking_back import take_back
from lattermath.desk.told_entries import record_of
from lattermath.record.ids import id_beside
from lattermath.vocabulary.events import Picking, TaskDone
from lattermath.vocabulary.plan import Plan

EVENING = datetime(2011, 7, 30, 20, 15)


@pytest.fixture(scope="module")
def shown(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Plan]:
    made = make_demo(tmp_path_factory.mktemp("back") / "plot")
    return made.folder, made.plan


@pytest.fixture
def folder(shown: tuple[Path, Plan], tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown[0], tmp_path / "plot"))


def standing(folder: Path) -> set[str]:
    return {one.id for one in record_of(folder).entries if one.may_undo}


def care(shown: tuple[Path, Plan]) -> str:
    return next(t.id for t in shown[1].visits[0].tasks if t.kind == "care" and t.planting)


def test_a_tick_goes_with_its_work_and_work_with_its_tick(
    shown: tuple[Path, Plan], folder: Path
) -> None:
    before = standing(folder)
    for which in (-1, 0):
        events = log_done(folder, care(shown), "as written", at=EVENING)
        assert len(events) == 2 and standing(folder) == before | {e.id for e in events}
        take_back(folder, events[which].id)
        assert standing(folder) == before


def test_of_many_waterings_one_goes_alone(shown: tuple[Path, Plan], folder: Path) -> None:
    """Two that one tick wrote; the tick stands until the last of them goes."""
    before, tick = standing(folder), new_id()
    made = [
        log(folder, Picking("beans", kg), EVENING, entry_id=id_beside(tick, n))
        for n, kg in enumerate((0.1, 0.2))
    ]
    log(folder, TaskDone(care(shown), "as written"), EVENING, entry_id=tick)
    take_back(folder, made[0].id)
    assert standing(folder) == before | {made[1].id, tick}
    take_back(folder, made[1].id)
    assert standing(folder) == before


def test_what_was_written_by_itself_goes_by_itself_and_once(folder: Path) -> None:
    before = standing(folder)
    one = log(folder, Picking("beans", 0.3), EVENING)
    other = log(folder, Picking("beans", 0.4), EVENING)
    back = new_id()
    assert len(take_back(folder, str(one.serial), entry_id=back)) == 1
    take_back(folder, str(one.serial), entry_id=back)
    assert standing(folder) == before | {other.id}
