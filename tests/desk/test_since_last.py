"""The next sheet begins with what is otherwise than the last, and what came in between."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk import since_last as module
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.command import run
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.page import html_sheet
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.events import Picking, Sighting, TaskDone
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.since import Otherwise
from lattermath.vocabulary.supposition import Changed

pytestmark = pytest.mark.usefixtures("few_draws")

CHARD = """[[planting]]
name = "Chard"
crop = "chard"
bed = "South"
plants = 10
sown = 2016-05-10
bearing_since = 2016-07-10"""
VISITING = 'days = ["tue", "sat"]\nminutes = 75'
PLOT = HOLLOW.format(place=NORTH, visiting=VISITING, courgettes=3, more=CHARD, week=MILD)
TUESDAY, SATURDAY = date(2016, 8, 2), date(2016, 8, 6)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return begun(tmp_path, PLOT)


def weather(folder: Path, first: date, rain: list[float]) -> None:
    rows = [f"{first + timedelta(days=n)},14,29,{mm}" for n, mm in enumerate(rain)]
    file = folder / f"from-{first}.csv"
    file.write_text("\n".join(["date,tmin_c,tmax_c,rain_mm", *rows]), "utf-8")
    last = first + timedelta(days=len(rain) - 1)
    take(folder, file, at=datetime.fromisoformat(f"{last}T20:00:00+00:00"))


def at(day: date) -> datetime:
    return datetime.fromisoformat(f"{day}T19:00:00+01:00")


def of(made: Plan, words: str) -> list[Otherwise]:
    assert made.since is not None
    return [one for one in made.since.changes if words.casefold() in one.says.casefold()]


def test_the_first_sheet_has_nothing_before_it(folder: Path) -> None:
    made = plan(folder, TUESDAY)
    assert made.since is None
    assert "Since" not in text_sheet(made, made.plot).splitlines()[1]


def test_the_same_sheet_again_is_not_compared_with_itself(folder: Path) -> None:
    assert plan(folder, TUESDAY).since is None
    assert plan(folder, TUESDAY).since is None


def test_a_count_is_named_where_it_changed_the_sheet(folder: Path) -> None:
    plan(folder, TUESDAY)
    counted = Sighting("courgettes", "melon_aphid", "count", looked_at=10, counts=(90,) * 10)
    event = log(folder, counted, at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None and made.since.sheet == TUESDAY
    aphids = [one for one in made.since.changes if "aphid" in one.says.casefold()]
    assert aphids
    for one in aphids:
        assert [r for r in one.because if f"event:{event.serial}" in r.rests_on], one
    chard = [one for one in made.since.changes if one.planting == "chard"]
    assert not [r for one in chard for r in one.because if r.rests_on[:1] == ("event:1",)]


def test_what_nothing_is_reckoned_from_is_no_reason(folder: Path) -> None:
    """A free word never moves a plan, and what was looked for in vain brings no new work."""
    plan(folder, TUESDAY)
    counted = Sighting("courgettes", "melon_aphid", "count", looked_at=10, counts=(90,) * 10)
    log(folder, counted, at(TUESDAY))
    none = Sighting("courgettes", "cucurbit_powdery_mildew", "severity", surface="top", percent=0.0)
    vain = log(folder, none, at(TUESDAY))
    word = log(folder, Sighting("courgettes", "holes", "first seen"), at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None
    rests = [(one.how, {ref for r in one.because for ref in r.rests_on})
             for one in made.since.changes]  # fmt: skip
    assert rests and not [how for how, refs in rests if f"event:{word.serial}" in refs]
    assert not [how for how, refs in rests if how == "added" and f"event:{vain.serial}" in refs]


def test_a_pest_elsewhere_is_no_reason_for_work_against_another(folder: Path) -> None:
    """Cards of whitefly on chard were given as why work against aphids on courgettes changed."""
    plan(folder, TUESDAY)
    counted = Sighting("courgettes", "melon_aphid", "count", looked_at=10, counts=(90,) * 10)
    aphids = log(folder, counted, at(TUESDAY))
    flies = Sighting("chard", "flea_beetles", "count", "adult", looked_at=10, total=50)
    beetles = log(folder, flies, at(TUESDAY))
    made = plan(folder, SATURDAY)
    for words, named, silent in (
        ("melon aphid: ", aphids, beetles),
        ("flea beetles: ", beetles, aphids),
    ):
        for one in of(made, words):
            rests = {ref for reason in one.because for ref in reason.rests_on}
            assert f"event:{silent.serial}" not in rests, one
            assert f"event:{named.serial}" in rests, one
    assert of(made, "melon aphid: ")
    work = [one for one in of(made, "") if one.planting == "courgettes"]
    assert work
    for one in work:
        assert f"event:{beetles.serial}" not in {ref for r in one.because for ref in r.rests_on}


def test_work_weighed_anew_names_no_pest_of_another_planting(folder: Path) -> None:
    """By hand on the parts that tell: a change of work on one planting, a find on another."""
    plan(folder, TUESDAY)
    seen = Sighting("chard", "flea_beetles", "count", "adult", looked_at=10, total=50)
    event = log(folder, seen, at(TUESDAY))
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, SATURDAY, None)
    course = {"organism": "melon_aphid", "plantings": ["courgettes"],
              "course": [{"plantings": ["courgettes"], "says": "Crush by hand"}]}  # fmt: skip
    sheet = {"names": [["melon_aphid", "melon aphid"]], "populations": [course]}
    between = module._Between(facts, (event,), TUESDAY, None, None, sheet, sheet)
    gone = Changed("dropped", "Crush by hand: courgettes", "courgettes", None, SATURDAY)
    [reason] = module._causes(gone, "treat", between)
    assert reason.says == module.WEIGHED_ANEW and not reason.rests_on
    beetle = {**course, "organism": "flea_beetles"}
    between = replace(between, before={**sheet, "populations": [beetle]})
    [reason] = module._causes(gone, "treat", between)  # of what that work was against
    assert reason.rests_on == (f"event:{event.serial}",)


def test_of_what_was_seen_on_a_planting_only_what_the_work_is_against_is_named(
    folder: Path,
) -> None:
    """Mildew on the squash, seen the same evening, was given as why bugs are crushed there."""
    plan(folder, TUESDAY)
    bugs = log(folder, Sighting("courgettes", "squash_bug", "count", "", "whole", 3, total=21),
               at(TUESDAY))  # fmt: skip
    mildew = log(folder, Sighting("courgettes", "cucurbit_powdery_mildew", "severity", "", "top",
                                  percent=3.0), at(TUESDAY))  # fmt: skip
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, SATURDAY, None)

    def against(organism: str, says: str) -> dict[str, Any]:
        step = {"plantings": ["courgettes"], "says": says}
        return {"organism": organism, "plantings": ["courgettes"], "course": [step]}

    courses = [against("squash_bug", "Pick off and crush by hand, egg masses first"),
               against("cucurbit_powdery_mildew", "Remove diseased leaves, all sides")]  # fmt: skip
    sheet = {"names": [], "populations": courses}
    between = module._Between(facts, (bugs, mildew), TUESDAY, None, None, sheet, sheet)
    for says, event in (("Pick off and crush by hand", bugs), ("Remove diseased leaves", mildew)):
        new = Changed("added", f"{says}: courgettes", "courgettes", SATURDAY, None)
        [reason] = module._causes(new, "treat", between)
        assert reason.rests_on == (f"event:{event.serial}",)


def test_a_course_is_found_by_the_name_that_it_has_now(folder: Path) -> None:
    """Not found before under its own name, then logged as aphids: still the count is the reason."""
    plan(folder, TUESDAY)
    counted = Sighting("courgettes", "aphids", "count", looked_at=10, counts=(90,) * 10)
    aphids = log(folder, counted, at(TUESDAY))
    [one] = of(plan(folder, SATURDAY), "aphids: ")
    assert f"event:{aphids.serial}" in {ref for r in one.because for ref in r.rests_on}


def test_what_was_done_is_no_change(folder: Path) -> None:
    before = plan(folder, TUESDAY)
    picks = {t.planting for t in before.visits[0].tasks if t.kind == "pick"}
    assert picks
    for key in picks:
        log(folder, Picking(key, 0.5), at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None
    undone = [o for o in made.since.changes if o.was == TUESDAY and o.planting in picks]
    assert not [one for one in undone if "about" in one.says]


def test_rain_since_is_named_where_no_entry_touches_it(folder: Path) -> None:
    weather(folder, date(2016, 6, 20), [0.0] * 42)  # six dry weeks, up to Sunday
    sunday = TUESDAY - timedelta(days=2)
    assert [t for t in plan(folder, sunday).visits[0].tasks if t.kind == "water"]
    weather(folder, sunday + timedelta(days=1), [52, 19])
    made = plan(folder, TUESDAY)
    [water] = of(made, "water at the foot")
    assert water.how == "dropped" and water.was == TUESDAY
    [reason] = water.because
    assert "71 mm" in reason.says
    assert reason.rests_on[-1] == f"reading:{TUESDAY}"


def test_it_leads_the_sheet_on_terminal_page_and_paper(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan(folder, TUESDAY)
    counted = Sighting("courgettes", "melon_aphid", "count", looked_at=10, counts=(90,) * 10)
    log(folder, counted, at(TUESDAY))
    made = plan(folder, SATURDAY)
    lines = text_sheet(made, made.plot).splitlines()
    lead = next(n for n, line in enumerate(lines) if line.startswith("Since Tue 2 Aug: "))
    assert lead < next(n for n, line in enumerate(lines) if line.startswith("SHORT OF TIME"))
    assert "SINCE THE SHEET BEFORE" in text_back(made, made.plot)
    page = html_sheet(made, made.plot)
    assert page.index("Since Tue 2 Aug: ") < page.index("Short of time?")
    file = folder / "sheet.pdf"
    assert run(["plan", "--on", str(SATURDAY), "--plot", str(folder), "--pdf", str(file)]) == 0
    capsys.readouterr()
    words = PdfReader(file).pages[0].extract_text()
    assert "Since Tue 2 Aug: " in " ".join(words.split())


def test_what_was_not_looked_at_as_asked_is_told_back(folder: Path) -> None:
    """Asked on Tuesday: silence and a tick "not done" are no look; each thing is asked after."""
    looks = plan(folder, TUESDAY).visits[0].tasks
    [asked] = [t for t in looks if t.kind == "look" and t.planting == "courgettes"]
    log(folder, TaskDone(asked.id, "not done"), at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None and made.since.looks_of == TUESDAY
    assert "Courgettes" in made.since.not_looked
    words = " ".join(text_sheet(made, made.plot).split())
    assert "Not looked at on Tue 2 Aug, though asked: Courgettes" in words
    assert "Not looked at on Tue 2 Aug" in " ".join(text_back(made, made.plot).split())
    first, *others = [one.organism for one in asked.wanted]
    assert others
    log(folder, Sighting("courgettes", first, "count", looked_at=10, total=0), at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None
    [left] = [one for one in made.since.not_looked if one.startswith("Courgettes")]
    assert left.startswith("Courgettes (") and first.split("_")[-1] not in left
    for organism in others:
        log(folder, Sighting("courgettes", organism, "count", looked_at=10, total=0), at(TUESDAY))
    made = plan(folder, SATURDAY)
    assert made.since is not None
    assert not [one for one in made.since.not_looked if one.startswith("Courgettes")]
