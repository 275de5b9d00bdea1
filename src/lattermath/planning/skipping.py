"""What leaving a task out means; where nothing is lost, until when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Task, TaskKind

NOT_LOST = "nothing is lost {until}"
# What waits meanwhile, by kind of work; common sense, so no figure hangs on it.
MEANWHILE: Mapping[TaskKind, str] = {
    "look": "what sits there is known less well",
    "pick": "it stands and waits",
    "care": "there is more to do then",
    "set out": "the young plants only begin later",
    "sow": "the seed only begins later",
    "pull": "what follows only begins later",
}
GOES_ON = "what it is meant for goes on{until}, and the course is worked out anew"


def with_skipped(tasks: Iterable[Task], after: date | None) -> tuple[Task, ...]:
    """The tasks, each with what leaving it out means. `after`: the visit that comes next."""
    return tuple(
        task if task.if_skipped else replace(task, if_skipped=_waits(task, after)) for task in tasks
    )


def _waits(task: Task, after: date | None) -> str:
    if task.kind == "treat":
        until = "" if after is None else f" until {said(after)}"
        return GOES_ON.format(until=until)
    until = "by leaving it" if after is None else f"before {said(after)}"
    lost, meanwhile = NOT_LOST.format(until=until), MEANWHILE.get(task.kind)
    return f"{lost}; {meanwhile}" if meanwhile else lost
