"""A task of a sheet ticked off: what it names becomes an entry of its own, or is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

from lattermath.desk.entry_ids import new_id
from lattermath.desk.kept_sheets import kept_sheets, keys_by_name, numbered, tasks_of
from lattermath.desk.log_visit import log
from lattermath.desk.paper_sheets import paper_sheet
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.care import work_said
from lattermath.planning.care_rounds import FOR
from lattermath.record.ids import id_beside
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault, InputError, NotThere
from lattermath.vocabulary.events import (
    Care,
    Destination,
    Event,
    How,
    Payload,
    Pulling,
    TaskDone,
    Treatment,
    Watering,
)
from lattermath.vocabulary.plan import OF_THE_MIX, Part, TaskKind
from lattermath.vocabulary.plot import Plot

# What a tick does not say, and the words to say it with.
ASKED_FOR = {
    "pick": "picked {planting} KILOGRAMS",
    "look": "count {planting} WHAT NUMBERS, or log none {planting} WHAT --leaves 10 (--plants 10)",
    "set out": "set-out NEW-NAME CROP PLANTS --bed BED --lot LOT",
    "sow": "sown CROP SEEDS BED, or sown CROP SEEDS cups",
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
    entry_id: str | None = None,
    sheet: str = "",
) -> tuple[Event, ...]:
    """Write down that a task was done or left, with the treatment or pulling that it names.

    `task` is its id, or the number that the last kept sheet prints before it, or the sheet of the
    mark `sheet`. A tick that brings
    its own `entry_id` is written once, with its work, however often it arrives. InputError when no
    kept plan has the task, and when more must be said than a tick can say; the remedy is the line
    to write.
    """
    told, names = _task(path, task.strip(), sheet)
    tick = TaskDone(told["id"], how, note)
    if how == "not done":
        return (log(path, tick, at, plot=plot, entry_id=entry_id),)
    work = as_written(told, names) if how == "as written" else ()
    if not work and not (how == "as written" and says_enough(told["kind"])):
        words = ASKED_FOR.get(told["kind"], "visit")
        line = f"lattermath log {words.format(planting=told['planting'] or 'PLANTING')}"
        raise InputError(Fault("a tick does not say enough", "log done", task, f"Write: {line}."))
    own = entry_id or new_id()  # what is written with it is found by its id, and taken back with it
    beside = [id_beside(own, n) for n in range(len(work))]
    done = [log(path, w, at, plot=plot, entry_id=i) for w, i in zip(work, beside, strict=True)]
    return (*done, log(path, tick, at, plot=plot, entry_id=own))


def task_id(path: Path | str, task: str) -> str:
    """The id of a task by its id or its number; NotThere when no kept plan has it."""
    found: str = _task(path, task.strip())[0]["id"]
    return found


def says_enough(kind: TaskKind) -> bool:
    """Whether a tick alone says what was done in a task of this kind."""
    return kind in ("water", "care", "pull", "treat", "cover")


def as_written(task: dict[str, Any], names: dict[str, str]) -> tuple[Payload, ...]:
    """The entries that a task as written amounts to; none where something is left to say.

    names : keys of plantings by the names that the plan says.
    """
    if task["kind"] == "water":
        return tuple(_waterings(task, names))
    if task["planting"] is None:
        return tuple(_round(task, names)) if task["kind"] == "care" else ()
    if task["kind"] == "care":
        return (Care(task["planting"], work_said(task["says"])),)
    if task["kind"] == "pull":
        count = next((a["quantity"] for a in task["amounts"] if a["what"] == "plants"), None)
        to: Destination = "bagged off the plot" if task["part"] == SICK else "compost"
        return () if count is None else (Pulling(task["planting"], int(count), to),)
    if task["kind"] == "treat":
        poured = {a["what"]: a["quantity"] for a in task["amounts"] if a["unit"] == "l"}
        litres = poured.get(OF_THE_MIX, next(iter(poured.values()), None))
        return (Treatment(
            plantings=(task["planting"],),
            method=task["method"] or "",
            product=task["product"],
            litres=litres,
            surfaces=tuple(task["surfaces"]) or ("underside", "top"),
        ),)  # fmt: skip
    return ()


def _round(task: dict[str, Any], names: dict[str, str]) -> Iterator[Care]:
    """One tending for each planting that a round names."""
    for amount in task["amounts"]:
        work, _, name = amount["what"].partition(FOR)
        key = names.get(name.casefold())
        if key is None:
            raise InputError(
                Fault("it is not known what was tended", "log done", name, "Log it by itself.")
            )
        yield Care(key, work)


def _waterings(task: dict[str, Any], names: dict[str, str]) -> Iterator[Watering]:
    """One watering for each planting that the round names."""
    for amount in task["amounts"]:
        name = amount["what"].removeprefix("water for ")
        key = task["planting"] or names.get(name.casefold())
        if key is None:
            raise InputError(
                Fault("it is not known what was watered", "log done", name, "Log it by itself.")
            )
        yield Watering(amount["quantity"], planting=key)


def _task(path: Path | str, wanted: str, sheet: str = "") -> tuple[dict[str, Any], dict[str, str]]:
    """The task of that id, from the newest kept plan that has it, or of that number.

    With the keys of the plan's plantings by their names. A printed sheet answers for itself: what
    has the same name in a newer plan may be another amount.
    """
    if sheet:
        printed = paper_sheet(path, sheet)
        return printed.task(wanted), printed.keys
    newest: dict[str, Any] | None = None
    with open_journal(folder_at(path)) as journal:
        for plan in kept_sheets(journal):
            newest = plan if newest is None else newest
            for _, task in tasks_of(plan):
                if task["id"] == wanted:
                    return task, keys_by_name(plan)
    if newest is None:
        raise NotThere(Fault("no sheet is kept yet", "task", wanted, "Run `lattermath plan`."))
    numbers = numbered(newest)
    if wanted.isdecimal() and int(wanted) in numbers:
        return numbers[int(wanted)], keys_by_name(newest)
    day = f"of {said(date.fromisoformat(newest['visits'][0]['date']))} " if numbers else ""
    remedy = f"The last sheet {day}has the tasks 1 to {len(numbers)}." if numbers else NO_TASKS
    raise NotThere(Fault("no sheet has this task", "task", wanted, remedy))
