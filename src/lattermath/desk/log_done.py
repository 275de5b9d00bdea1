"""A task of a sheet ticked off: what it names becomes an entry of its own, or is asked for."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import Any

from lattermath.desk.kept_sheets import kept_sheets, numbered, tasks_of
from lattermath.desk.log_visit import log
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Destination,
    Event,
    How,
    Payload,
    Pulling,
    TaskDone,
    Treatment,
)
from lattermath.vocabulary.plan import Part
from lattermath.vocabulary.plot import Plot

# What a tick does not say, and the words to say it with.
ASKED_FOR = {
    "pick": "picked {planting} KILOGRAMS",
    "water": "watered BED LITRES",
    "look": "count {planting} WHAT NUMBERS, or log none {planting} WHAT --leaves 10",
    "set out": "set-out NEW-NAME CROP PLANTS --bed BED --lot LOT",
    "sow": "sown CROP SEEDS --planting NEW-NAME --bed BED",
    "care": "care {planting} WORK",
    "treat": "treated {planting} PRODUCT --litres LITRES",
    "pull": "pulled {planting} --plants PLANTS",
}
SICK: Part = "sick plants last"  # what is pulled then leaves the plot in a bag
NO_TASKS = "The last sheet has no task; see `lattermath plan`."


def log_done(
    path: Path | str,
    task: str,
    how: How,
    note: str = "",
    at: datetime | None = None,
    plot: Plot | None = None,
) -> tuple[Event, ...]:
    """Write down that a task was done or left, with the treatment or pulling that it names.

    `task` is its id, or the number that the last kept sheet prints before it. InputError when no
    kept plan has the task, and when more must be said than a tick can say; the remedy is the line
    to write.
    """
    told = _task(path, task.strip())
    tick = TaskDone(told["id"], how, note)
    if how == "not done":
        return (log(path, tick, at, plot=plot),)
    work = _work(told) if how == "as written" else None
    if work is None:
        words = ASKED_FOR.get(told["kind"], "visit")
        line = f"lattermath log {words.format(planting=told['planting'] or 'PLANTING')}"
        raise InputError(Fault("a tick does not say enough", "log done", task, f"Write: {line}."))
    return log(path, work, at, plot=plot), log(path, tick, at, plot=plot)


def _work(task: dict[str, Any]) -> Payload | None:
    """The entry that a task as written amounts to; None where something is left to say."""
    if task["planting"] is None:
        return None
    if task["kind"] == "pull":
        count = next((a["quantity"] for a in task["amounts"] if a["what"] == "plants"), None)
        to: Destination = "bagged off the plot" if task["part"] == SICK else "compost"
        return None if count is None else Pulling(task["planting"], int(count), to)
    if task["kind"] == "treat":
        litres = next((a["quantity"] for a in task["amounts"] if a["unit"] == "l"), None)
        return Treatment(
            plantings=(task["planting"],),
            method=task["method"] or "",
            product=task["product"],
            litres=litres,
            surfaces=tuple(task["surfaces"]) or ("underside", "top"),
        )
    return None


def _task(path: Path | str, wanted: str) -> dict[str, Any]:
    """The task of that id, from the newest kept plan that has it, or of that number."""
    newest: dict[str, Any] | None = None
    with open_journal(folder_at(path)) as journal:
        for plan in kept_sheets(journal):
            newest = plan if newest is None else newest
            for _, task in tasks_of(plan):
                if task["id"] == wanted:
                    return task
    if newest is None:
        raise InputError(Fault("no sheet is kept yet", "task", wanted, "Run `lattermath plan`."))
    numbers = numbered(newest)
    if wanted.isdecimal() and int(wanted) in numbers:
        return numbers[int(wanted)]
    day = f"of {said(date.fromisoformat(newest['visits'][0]['date']))} " if numbers else ""
    remedy = f"The last sheet {day}has the tasks 1 to {len(numbers)}." if numbers else NO_TASKS
    raise InputError(Fault("no sheet has this task", "task", wanted, remedy))
