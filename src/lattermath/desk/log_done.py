"""A task of a sheet ticked off: what it names becomes an entry of its own, or is asked for."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.log_visit import log
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, How, Payload, Pulling, TaskDone, Treatment

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


def log_done(
    path: Path | str, task: str, how: How, note: str = "", at: datetime | None = None
) -> tuple[Event, ...]:
    """Write down that a task was done or left, with the treatment or pulling that it names.

    InputError when no kept plan has the task, and when more must be said than a tick can say;
    the remedy is the line to write.
    """
    told = _task(path, task)
    if how == "not done":
        return (log(path, TaskDone(task, how, note), at),)
    work = _work(told) if how == "as written" else None
    if work is None:
        words = ASKED_FOR.get(told["kind"], "visit")
        line = f"lattermath log {words.format(planting=told['planting'] or 'PLANTING')}"
        raise InputError(Fault("a tick does not say enough", "log done", task, f"Write: {line}."))
    return log(path, work, at), log(path, TaskDone(task, how, note), at)


def _work(task: dict[str, Any]) -> Payload | None:
    """The entry that a task as written amounts to; None where something is left to say."""
    if task["planting"] is None:
        return None
    if task["kind"] == "pull":
        count = next((a["quantity"] for a in task["amounts"] if a["what"] == "plants"), None)
        return None if count is None else Pulling(task["planting"], int(count))
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
    """The task of that id, from the newest kept plan that has it."""
    newest: list[str] | None = None
    with open_journal(folder_at(path)) as journal:
        for plan in kept_sheets(journal):
            tasks = {task["id"]: task for _, task in tasks_of(plan)}
            if wanted in tasks:
                return tasks[wanted]
            newest = list(tasks) if newest is None else newest
    remedy = f"The last sheet has: {', '.join(newest or ()) or 'none yet, run lattermath plan'}."
    raise InputError(Fault("no sheet has this task", "TASK", wanted, remedy))
