"""What the JSON API writes: an entry, or that an entry is taken back; each once and only once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import JSONResponse

from lattermath.desk.log_done import log_done, task_id
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.taking_back import take_back
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.log_entries import consequences, written
from lattermath.doors.web import api_shapes as shapes
from lattermath.doors.web.api_entries import AnyEntry, Done, Undo
from lattermath.doors.web.house import House, house_of
from lattermath.record.ids import id_beside
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, TaskDone
from lattermath.vocabulary.plot import Plot

router = APIRouter(
    responses={
        **shapes.REFUSALS,
        shapes.NEW: {"model": shapes.Written, "description": "Written down."},
    }
)
YEARS = range(1970, 2200)  # of an entry; others are slips that no clock can reckon with


@router.post("/log", response_model=shapes.Written, response_description="Known already.")
def write(request: Request, entry: AnyEntry) -> JSONResponse:
    """Write one entry down under its own id: 201 the first time, 200 where it is known already."""
    house = house_of(request)
    plot = plot_now(house.folder)
    at = _hour(entry, house, plot)
    with house.writing:
        before = _last(house.folder)
        if isinstance(entry, Done):
            events = log_done(
                *(house.folder, entry.task, entry.how, entry.note, at),
                entry_id=entry.id,
                sheet=entry.sheet,
            )
        else:
            task = task_id(house.folder, entry.task) if entry.task else ""
            payload = entry.settled(plot, house.folder, at)
            events = (log(house.folder, payload, at, entry_id=entry.id, made_up=entry.made_up),)
            if task:
                tick, beside = TaskDone(task, "as written"), id_beside(entry.id, 0)
                events = (*events, log(house.folder, tick, at, entry_id=beside))
    return _written(house, events, before, plot)


@router.post("/undo", response_model=shapes.Written, response_description="Known already.")
def undo(request: Request, entry: Undo) -> JSONResponse:
    """Take an entry back, by its serial or id; it stays in the journal and no longer counts."""
    house = house_of(request)
    plot = plot_now(house.folder)
    with house.writing:
        before = _last(house.folder)
        at = _hour(entry, house, plot)
        events = take_back(house.folder, entry.entry, at, entry.why, entry.id)
    return _written(house, events, before, plot)


def _written(house: House, events: tuple[Event, ...], before: int, plot: Plot) -> JSONResponse:
    new = any(event.serial > before for event in events)
    told = {
        "new": new,
        "entries": events,
        "says": tuple(_says(house.folder, events, plot)),
    }
    if not new:
        return shapes.answer(told)
    newest = max(event.serial for event in events)
    return shapes.answer(told, shapes.NEW, {"location": f"/api/record/{newest}"})


def _says(folder: Path, events: tuple[Event, ...], plot: Plot) -> Iterator[str]:
    for event in events:
        yield from written(folder, event, plot)
        yield from consequences(folder, event, plot)


def _last(folder: Path) -> int:
    with open_journal(folder_at(folder)) as journal:
        return journal.last_serial


def _hour(entry: AnyEntry | Undo, house: House, plot: Plot) -> datetime | None:
    """When it happened; this hour of the day shown where the entry does not say."""
    if entry.at is None:
        return house.when(plot)
    try:
        at = datetime.fromisoformat(entry.at)
    except ValueError:
        at = None
    if at is None or at.year not in YEARS:
        remedy = 'Write it as "2016-07-29T19:05", with or without its offset.'
        raise InputError(Fault("this is no day and hour", "at", entry.at, remedy))
    return at
