"""What is decided or promised for tonight and finds no time is told as what waits."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from lattermath.desk.plan_tasks import put_off
from lattermath.desk.visits_told import courses_told, verdicts_told
from lattermath.planning.replacing import Replacement, replacing_tasks
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.plan import CourseStep, Population, Span, Task, Verdict, VisitPlan
from lattermath.vocabulary.plot import Bed, Planting

TONIGHT, NEXT = date(2026, 1, 13), date(2026, 1, 16)
NOTHING = Span(0, 0, 0, "portions")
MELON = Planting("melon", "Melon", "melon", 8, bed="G")


def verdict(says: str, **over: Any) -> Verdict:
    facts = Verdict("melon", "replace", "direct sow", (), NOTHING, 0.9, 0.01, None, says)
    return replace(facts, **over)


def visit(day: date, *tasks: Task, no_time: tuple[str, ...] = ()) -> VisitPlan:
    at = datetime(day.year, day.month, day.day, 19, tzinfo=ZoneInfo("America/Santiago"))
    return VisitPlan(day, at, at, None, "", 0.0, tasks, no_time=no_time)


def pull(day: date) -> Task:
    return Task(task_id(day, "pull", "melon", None), "pull", "replace", "Melon: all.", 12, "melon")


def told(says: str, *visits: VisitPlan, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(
        "lattermath.desk.visits_told.told_before_frost", lambda _facts, verdicts: verdicts
    )
    crops = SimpleNamespace(
        decisions={"melon": SimpleNamespace(verdict=verdict(says))}, fillings={}
    )
    facts = SimpleNamespace(plot=SimpleNamespace(beds=(Bed("G", "G", 0, 0, 3, 1),)))
    worked: Any = SimpleNamespace(crops=crops)
    (one,) = verdicts_told(facts, worked, visits)  # type: ignore[arg-type]
    return one.says


def test_what_finds_no_time_tonight_is_decided_for_the_visit_that_has_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    full = visit(TONIGHT, no_time=(pull(TONIGHT).id,))
    for visits, says in (
        ((visit(TONIGHT, pull(TONIGHT)),), "replace tonight"),
        ((full, visit(NEXT, pull(NEXT))), "replace on Fri 16 Jan, no time for it tonight"),
        (
            (full, visit(NEXT, no_time=(pull(NEXT).id,))),
            "replace when there is time for it: none tonight",
        ),
    ):
        assert told("replace tonight", *visits, monkeypatch=monkeypatch) == says
    assert told("let run", full, monkeypatch=monkeypatch) == "let run"


def test_what_is_put_off_is_offered_again_until_it_is_too_late() -> None:
    work = Replacement(verdict("replace tonight"), MELON, None, "kale", "kale", "G", "G", 20)
    ids = tuple(task.id for task in replacing_tasks(TONIGHT, work))
    assert put_off(visit(TONIGHT, no_time=ids), [work]) == (work,)
    assert put_off(visit(TONIGHT, pull(TONIGHT)), [work]) == ()
    late = replace(work, verdict=verdict("replace tonight", decide_by=TONIGHT))
    assert put_off(visit(TONIGHT, no_time=ids), [late]) == ()


def test_a_course_names_the_plantings_for_which_its_visit_has_no_time() -> None:
    steps = tuple(
        CourseStep(day, "soap", "mydlo", ("cucumbers", "beans"), "Mydlo") for day in (TONIGHT, NEXT)
    )
    living = Population("melon_aphid", ("cucumbers",), "", (), steps, "", NOTHING)
    missed = visit(TONIGHT, no_time=(task_id(TONIGHT, "treat", "cucumbers", "soap"),))
    (one,) = courses_told([living], [missed])
    assert [step.no_time for step in one.course] == [("cucumbers",), ()]
