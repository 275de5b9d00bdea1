"""The audit on the time of a visit: hours kept, and nothing promised that no hour is for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

from lattermath.audit.time_check import check_time
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import (
    CourseStep,
    NotToday,
    Population,
    Span,
    Task,
    Verdict,
    VisitPlan,
)

DAY = date(2026, 7, 22)
ARRIVE = datetime(2026, 7, 22, 19, tzinfo=ZoneInfo("Europe/Warsaw"))
LEAVE = ARRIVE + timedelta(minutes=85)
NOTHING = Span(0, 0, 0, "portions")
SIXTY: Any = SimpleNamespace(visiting=SimpleNamespace(minutes=60))
EVENING = Evening(DAY, ARRIVE, LEAVE, *(None,) * 10)  # type: ignore[arg-type]


def task(key: str, starts: int, minutes: int, part: Any = "care", kind: Any = "care") -> Task:
    begins = ARRIVE + timedelta(minutes=starts)
    ends = begins + timedelta(minutes=minutes)
    return Task(key, kind, part, key, minutes, key, starts=begins, ends=ends)


def faults(*tasks: Task, verdicts: Any = (), populations: Any = (), **over: Any) -> set[str]:
    visit = VisitPlan(DAY, ARRIVE, LEAVE, None, "", 0.0, tasks, **over)
    plan: Any = SimpleNamespace(
        visits=(visit,), verdicts=verdicts, populations=populations, names=(("melon", "Melon"),)
    )
    return {fault.what for fault in check_time(plan, [EVENING], SIXTY)}


def test_work_within_the_minutes_or_up_to_a_last_job_is_no_fault() -> None:
    assert faults(task("hoe", 0, 60)) == set()
    assert faults(task("hoe", 0, 70), task("spray", 75, 10, "last job", "treat")) == set()
    assert faults(task("hoe", 0, 60), task("weigh", 90, 30, "at home")) == set()


def test_131_minutes_in_a_visit_of_60_are_found() -> None:
    found = {"is given more work than there is time"}
    assert faults(task("hoe", 0, 131)) == faults(task("hoe", 0, 61)) == found
    late = task("hoe", 0, 60), task("spray", 60, 26, "last job", "treat")
    assert faults(*late) == found
    frost = "71 minutes more than you have: stay longer, or leave out basil"
    assert faults(replace(task("pick", 0, 131), dies=True), warning=frost) == set()
    assert faults(task("hoe", 0, 131), warning=frost) != set()  # none of it dies


def test_what_is_decided_for_tonight_is_among_tonights_work() -> None:
    says = Verdict(
        "melon", "replace", "direct sow", (), NOTHING, 0.9, 0.01, None, "replace tonight"
    )
    left = ("Melon: all, bag each standing.",)
    found = {"decides for tonight what tonight has no time for"}
    assert faults(verdicts=[says], left_out=left) == found
    pull = replace(task("melon", 0, 12, "replace", "pull"), planting="melon")
    assert faults(pull, verdicts=[says], left_out=left) == set()
    later = replace(says, says="replace on Sat 25 Jul, no time for it tonight")
    assert faults(verdicts=[later], left_out=left) == set()


def test_what_a_course_promises_for_tonight_is_done_refused_or_told_to_wait() -> None:
    step = CourseStep(DAY, "soap", "mydlo", ("melon",), "Mydlo")

    def living(step: CourseStep) -> list[Population]:
        return [Population("melon_aphid", ("melon",), "", (), (step,), "", NOTHING)]

    found = {"promises for tonight what is not among its work"}
    assert faults(populations=living(step), no_time=("x",)) == found
    waits = living(replace(step, no_time=("melon",)))
    assert faults(populations=waits, no_time=("x",)) == set()
    refused = (NotToday("no soap", "melon", ()),)
    assert faults(populations=living(step), no_time=("x",), not_today=refused) == set()
    spray = replace(task("melon", 60, 10, "last job", "treat"), method="soap")
    assert faults(spray, populations=living(step), no_time=("x",)) == set()
