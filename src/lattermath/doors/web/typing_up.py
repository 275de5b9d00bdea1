"""A typed-up sheet written down: line by line, each once, what is refused left with its reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.log_visit import log
from lattermath.desk.paper_sheets import PaperSheet
from lattermath.desk.told_entries import ToldEntry
from lattermath.doors.log_entries import consequences, written
from lattermath.doors.web.house import House
from lattermath.doors.web.log_forms import Asked
from lattermath.doors.web.pencilled import Line, entries_of
from lattermath.doors.web.ticks import HOWS, tick_of, ticked_already
from lattermath.record.ids import id_beside
from lattermath.vocabulary.errors import Fault, LattermathError
from lattermath.vocabulary.events import Event, TaskDone, Visit

NOTE = 0  # the place of the note among the ids of a sheet; its tasks count from 1
ARRIVED = -1  # where a fault of the hour of arrival stands


@dataclass(slots=True)
class Outcome:
    """What became of a sheet.

    faults : of the lines that were not written, by number; NOTE for the note, ARRIVED for the hour.
    says   : what was written, and what follows from it.
    """

    faults: dict[int, tuple[Fault, ...]] = field(default_factory=dict)
    says: list[str] = field(default_factory=list)
    lines: int = 0


@dataclass(frozen=True, slots=True)
class Typed:
    """A sheet as it was typed up.

    id      : that the page brought; the ids of all its entries are made from it, so that a page
              sent twice is written once.
    arrived : by the plot's clock; hours of tasks that name none follow the sheet's own.
    """

    sheet: PaperSheet
    id: str
    arrived: datetime
    lines: Mapping[int, Line]
    note: str = ""


def write_down(house: House, typed: Typed, asked: Asked) -> Outcome:
    """Write every line that says enough; the others come back with their faults."""
    told = Outcome()
    latest = _latest(house, asked)
    with house.writing:
        record = house.record()  # no line ticks the task of another
        for number, line in typed.lines.items():
            if not line.is_empty:
                before = tick_of(record, line.task["id"])
                _line(house, typed, number, asked, latest, before, told)
        if typed.note:
            at = min(typed.arrived, latest)
            _written(house, told, NOTE, lambda: _note(house, typed, at), asked)
    return told


def _line(
    house: House,
    typed: Typed,
    number: int,
    asked: Asked,
    latest: datetime,
    before: ToldEntry | None,
    told: Outcome,
) -> None:
    """One line: its work, then its tick, as a tick on the page of the visit would write them."""
    line, own = typed.lines[number], id_beside(typed.id, number)

    def write() -> Iterator[Event]:
        if before is not None and before.id != own:
            raise ticked_already(before)
        if before is not None:  # the page was sent twice
            return
        payloads = entries_of(line, asked)
        at = min(_hour(line, typed), latest)
        for place, payload in enumerate(payloads):
            yield log(house.folder, payload, at, entry_id=id_beside(own, place))
        how = HOWS[line.how or "as-written"]
        yield log(house.folder, TaskDone(line.task["id"], how), at, entry_id=own)

    _written(house, told, number, write, asked)


def _written(
    house: House, told: Outcome, number: int, write: Callable[[], Iterator[Event]], asked: Asked
) -> None:
    try:
        events = tuple(write())
    except LattermathError as refused:
        told.faults[number] = refused.faults
        return
    told.lines += bool(events)
    for event in events:
        if isinstance(event.payload, TaskDone):
            continue  # the mirror shows the tick in its place
        told.says += written(house.folder, event, asked.plot)
        told.says += consequences(house.folder, event, asked.plot)


def _note(house: House, typed: Typed, at: datetime) -> Iterator[Event]:
    entry_id = id_beside(typed.id, NOTE)
    yield log(house.folder, Visit(None, typed.note), at, entry_id=entry_id)


def _latest(house: House, asked: Asked) -> datetime:
    """The hour now, which no entry may be after; of a past day that is shown, its last."""
    zone = ZoneInfo(asked.plot.place.time_zone)
    now = clock.now().astimezone(zone).replace(tzinfo=None)
    return now if house.on is None else datetime.combine(house.on, time.max)


def _hour(line: Line, typed: Typed) -> datetime:
    """The hour pencilled beside a task; else as long after arrival as the sheet put it."""
    started = line.start(typed.arrived)
    if started is not None:
        return started
    begins = line.task.get("starts")
    after = datetime.fromisoformat(begins) - typed.sheet.arrive if begins else timedelta(0)
    return typed.arrived + max(after, timedelta(0))
