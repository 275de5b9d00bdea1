"""The boxes of a visit: a task ticked, left, or done otherwise."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from lattermath.desk.known_words import known_words
from lattermath.desk.log_done import log_done, says_enough
from lattermath.desk.log_visit import log
from lattermath.desk.told_entries import Record, ToldEntry, record_of
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_forms import Asked
from lattermath.record.ids import id_beside
from lattermath.sheets import page_words as p
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, How, TaskDone
from lattermath.vocabulary.plan import OF_THE_MIX, Plan, Task, TaskKind

router = APIRouter()
SEE_OTHER = 303
HOWS: dict[str, How] = {
    "as-written": "as written",
    "otherwise": "otherwise",
    "not-done": "not done",
}
# The form for what a tick does not say, or for what was done otherwise.
FORM_OF_TASK: dict[TaskKind, str] = {
    "water": "watered",
    "pick": "picked",
    "look": "counted",
    "care": "care",
    "set out": "set-out",
    "sow": "sown",
    "pull": "pulled",
    "cover": "visit",
    "treat": "treated",
}


@router.post("/done")
def done(
    request: Request,
    task: Annotated[str, Form()],
    how: Annotated[str, Form()] = "as-written",
) -> Response:
    """Tick a task; where a tick does not say enough, its form is shown."""
    house = house_of(request)
    if how not in HOWS:
        raise InputError(Fault("no such answer", "how", how, f"One of {', '.join(HOWS)}."))
    told = _task(house.keeper.look().plan, task)
    if told is not None and how == "as-written" and not says_enough(told.kind):
        return RedirectResponse(f"/log/{FORM_OF_TASK[told.kind]}?task={task}", SEE_OTHER)
    with house.writing:  # a box pressed twice is ticked once
        record = house.record()
        before = tick_of(record, task)
        if before is None:
            log_done(house.folder, task, HOWS[how], at=house.when(record.plot))
        elif before.how != HOWS[how]:
            raise ticked_already(before)
    return RedirectResponse(f"/#task-{task}", SEE_OTHER)


def asked_of(house: House, record: Record) -> Asked:
    """What blanks and their reading need to know of the plot."""
    return Asked(record.plot, house.units, known_words(house.folder))


def is_ticked(record: Record, task: str) -> bool:
    """Whether a task was ticked or left, and that still stands."""
    return tick_of(record, task) is not None


def tick_of(record: Record, task: str) -> ToldEntry | None:
    """The tick of a task that stands."""
    return next((one for one in record.entries if one.task == task and one.may_undo), None)


def tick(
    folder: Path, task: str, how: str, at: datetime | None, entry_id: str
) -> tuple[Event, ...]:
    """The tick that a phone kept, written once; InputError where another phone ticked the job.

    how : as the boxes of a visit say it.
    """
    if how not in HOWS:
        raise InputError(Fault("no such answer", "how", how, f"One of {', '.join(HOWS)}."))
    before = tick_of(record_of(folder), task)
    if before is not None and before.id != entry_id:
        raise ticked_already(before)
    return log_done(folder, task, HOWS[how], at=at, entry_id=entry_id)


def tick_beside(folder: Path, task: str, work: Event, at: datetime | None, how: str = "") -> Event:
    """The tick of a task whose work was written by its own form; undone, they go together.

    how : "otherwise" where the work was not done as the sheet says.
    """
    done: How = "otherwise" if how == "otherwise" else "as written"
    return log(folder, TaskDone(task, done), at, entry_id=id_beside(work.id, 0))


def ticked_already(before: ToldEntry) -> InputError:
    """What is said to whoever ticks a job that somebody else has ticked."""
    value = f"{before.says}, {said_with_hour(before.at)}"
    return InputError(Fault(p.TICKED_ALREADY, "task", value, p.TICKED_ALREADY_REMEDY))


def forms_of(plan: Plan | None, asked: Asked) -> dict[str, dict[str, Any]]:
    """By task of the coming visit: the form that says what a tick does not, if it needs one, the
    form for what was done otherwise, and what is known to stand in either.
    """
    return {
        task.id: {
            "form": "" if says_enough(task.kind) else FORM_OF_TASK[task.kind],
            "other": FORM_OF_TASK[task.kind],
            "fills": {name: [words] for name, words in known_of(plan, task.id, asked).items()},
        }
        for visit in (plan.visits[:1] if plan else ())
        for task in visit.tasks
    }


def _task(plan: Plan | None, wanted: str) -> Task | None:
    visits = plan.visits[:1] if plan else ()
    return next((task for visit in visits for task in visit.tasks if task.id == wanted), None)


def known_of(plan: Plan | None, wanted: str, asked: Asked) -> dict[str, str]:
    """What a task says already of the entry it asks for."""
    task = _task(plan, wanted)
    if task is None:
        return {}
    known = {"planting": task.planting or "", "with": task.product or task.method or ""}
    litres = "" if asked.units == "metric" else " l"  # a bare number is in the reader's units
    place = next((p for p in asked.plot.plantings if p.key == task.planting), None)
    if place is not None and place.bed:
        known["bed"] = place.bed
    for amount in task.amounts:
        if amount.unit == "l" and task.kind == "water":
            known["amount"] = f"{amount.quantity:g}{litres}"
        elif task.kind == "treat" and amount.unit == "l" and amount.what == OF_THE_MIX:
            known["litres"] = f"{amount.quantity:g}{litres}"
        elif amount.unit == "plants":
            known["plants"] = f"{amount.quantity:g}"
    return {name: words for name, words in known.items() if words}
