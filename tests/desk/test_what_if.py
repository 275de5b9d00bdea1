"""`what-if` plans twice on the same futures, tells the difference, and writes nothing down."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.plan_change import tasks_changed, water_changed
from lattermath.desk.what_if import what_if
from lattermath.desk.wiring import Folder, open_journal
from lattermath.doors.command import run
from lattermath.doors.supposed import supposition
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.supposition import Compared, WhatIf

pytestmark = pytest.mark.usefixtures("few_draws")

ON = date(2011, 7, 30)
SUNDAY = date(2011, 7, 31)
SEASON_ENDS = date(2011, 11, 30)


@pytest.fixture(scope="module")
def folder(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Path]:
    place = tmp_path_factory.mktemp("whatif") / "plot"
    make_demo(place)
    yield place


def figure(told: WhatIf, what: str) -> Compared:
    return next(one for one in (*told.harvest, *told.work) if one.what == what)


def written(folder: Path) -> tuple[int, int]:
    with open_journal(Folder(folder)) as journal:
        return len(journal.events()), len(journal.plans())


def test_what_is_so_already_makes_no_difference_and_leaves_no_trace(folder: Path) -> None:
    before = written(folder)
    told = what_if(folder, supposition(minutes=80), ON)  # as the demonstration's plot file has it
    for one in (*told.harvest, *told.work):
        assert (one.difference.low, one.difference.high) == (0, 0)
    assert not (told.verdicts or told.tasks or told.courses)
    assert written(folder) == before


def test_without_any_pack_nothing_is_sprayed_and_what_was_sprayed_still_bars(folder: Path) -> None:
    told = what_if(folder, supposition(no_products=True), ON)
    sprayed = figure(told, "of them from a pack")
    assert sprayed.planned.median > 0 and sprayed.supposed.median == 0
    assert [one for one in told.tasks if one.how == "dropped" and "soap" in one.says]
    assert not [one for one in told.tasks if one.how == "added" and "Pole beans" in one.says]


def test_saturdays_only_are_as_many_as_the_calendar_has(folder: Path) -> None:
    told = what_if(folder, supposition(days="sat"), SUNDAY)
    days = [SUNDAY + timedelta(days=n) for n in range((SEASON_ENDS - SUNDAY).days + 1)]
    saturdays = sum(day.weekday() == 5 for day in days)
    assert figure(told, "visits to the end of the season").supposed.median == saturdays
    assert figure(told, "all together").difference.high < 0
    assert [one for one in told.tasks if one.how == "moved" and one.day == date(2011, 8, 6)]


def test_another_plot_file_says_the_same_as_the_option(folder: Path, tmp_path: Path) -> None:
    text = (folder / "plot.toml").read_text("utf-8")
    other = tmp_path / "other.toml"
    assert text.count("minutes = 80") == 1
    other.write_text(text.replace("minutes = 80", "minutes = 40"), "utf-8")
    before = written(folder)
    by_file = what_if(folder, supposition(file=other), ON)
    by_option = what_if(folder, supposition(minutes=40), ON)
    assert replace(by_file, supposed=()) == replace(by_option, supposed=())
    assert figure(by_file, "minutes of work at a visit").difference.high < -30
    assert written(folder) == before


def test_a_wrong_supposition_is_refused_with_its_remedy(folder: Path) -> None:
    with pytest.raises(InputError):
        supposition()
    with pytest.raises(InputError):
        supposition(days="sunday,foo")
    with pytest.raises(InputError):
        supposition(away=(date(2011, 8, 9), date(2011, 8, 2)))
    with pytest.raises(InputError) as refusal:
        what_if(folder, supposition(without=("no such",)), ON)
    assert "soap" in refusal.value.faults[0].remedy


def test_a_plot_without_a_record_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copy(Path(__file__), tmp_path / "notes.txt")
    assert run(["what-if", "--frost=-7", "--plot", str(tmp_path)]) == 2
    assert "start" in capsys.readouterr().err


def task(kind: str, planting: str | None, says: str, **more: str) -> dict[str, object]:
    plain = {"kind": kind, "planting": planting, "says": says, "product": None, "method": None}
    return {**plain, "only_if": "", **more}


def test_work_is_known_again_on_another_evening() -> None:
    names = {"beans": "Pole beans"}
    soap = task("treat", "beans", "Soap, undersides of pole beans.", product="soap")
    pick = task("pick", "beans", "Pole beans, about 200 g.")
    more = task("pick", "beans", "Pole beans, about 400 g.")
    look = task("look", "beans", "Pole beans: turn 10 leaves.")
    before = [{"date": "2011-08-02", "tasks": [soap, pick]}]
    after = [
        {"date": "2011-08-02", "tasks": [more]},
        {"date": "2011-08-04", "tasks": [soap, look]},
    ]
    told = {(one.how, one.says) for one in tasks_changed(before, after, names)}
    assert told == {("moved", "Soap: pole beans"), ("added", "Pole beans: turn 10 leaves")}
    back = {(one.how, one.says) for one in tasks_changed(after, before, names)}
    assert back == {("moved", "Soap: pole beans"), ("dropped", "Pole beans: turn 10 leaves")}


def test_cans_that_fall_are_told_bed_by_bed() -> None:
    """Three cans of ten litres where ten were planned: the round is the same work, with less."""

    def round_(**litres: float) -> list[dict[str, object]]:
        poured = [{"planting": key, "quantity": much} for key, much in litres.items()]
        water = {**task("water", None, "Water at the foot."), "amounts": poured}
        return [{"date": "2011-08-02", "tasks": [water]}]

    before, after = round_(beans=60.0, kale=40.0), round_(beans=30.0)
    names = {"beans": "Pole beans", "kale": "Kale"}
    [told] = water_changed(before, after, names, 10.0)
    assert told.says == (
        "Water on Tue 2 Aug: 3 cans, was 10 cans "
        "(pole beans 3 cans, was 6 cans; kale no can, was 4 cans)"
    )
    assert not water_changed(before, before, names, 10.0)
    assert not tasks_changed(before, after, names)


def test_fewer_cans_stand_among_the_tasks_that_change(folder: Path) -> None:
    told = what_if(folder, supposition(cans=1), ON)
    assert [
        one for one in told.tasks if one.says.startswith("Water on ") and "1 can, was" in one.says
    ]
