"""The lines of a printed sheet as its mirror shows them, and as they come back typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lattermath.desk.paper_sheets import PaperSheet
from lattermath.doors.web.house import House
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.pencilled import Line
from lattermath.doors.web.ticks import FORM_OF_TASK, HOWS, tick_of
from lattermath.record.ids import id_beside
from lattermath.sheets import figures, wording
from lattermath.sheets import paper_words as w
from lattermath.sheets.front import title
from lattermath.sheets.pencil import Blank, blanks_of
from lattermath.vocabulary.blanks import Wanted
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.sentence import capital

if TYPE_CHECKING:
    from lattermath.desk.told_entries import Record
    from lattermath.sheets.figures import Units


def lines_of(
    sheet: PaperSheet, filled: Filled, units: Units, species: Mapping[str, Sequence[str]]
) -> dict[int, Line]:
    """The lines as they were typed, by number. species : by the kind that eyes see."""
    kinds = {one: kind for kind, many in species.items() for one in many}
    return {number: _line(sheet, number, filled, units, kinds) for number in sheet.tasks}


def _line(
    sheet: PaperSheet, number: int, filled: Filled, units: Units, kinds: Mapping[str, str]
) -> Line:
    task = sheet.tasks[number]
    how = filled.one(f"{number} how")
    words = {
        blank.name: filled.one(f"{number} {blank.name}")
        for blank in _blanks(task, units)
        if filled.one(f"{number} {blank.name}")
    }
    return Line(task, sheet.keys, how if how in HOWS else "", words, kinds)


def page_id(filled: Filled) -> str:
    """The id that the page brought, from which those of its entries are made."""
    brought = filled.asked("id", "the id of the page")
    try:
        id_beside(brought, 0)
    except ValueError as fault:
        remedy = "Open the sheet again and type it up there."
        raise InputError(Fault("this is no id of a page", "id", brought, remedy)) from fault
    return brought


def _blanks(task: dict[str, Any], units: Units) -> tuple[Blank, ...]:
    wanted = [Wanted(**figure) for figure in task.get("wanted") or []]
    return blanks_of(task["kind"], task["method"], task["product"], wanted, units)


def head_of(sheet: PaperSheet) -> str:
    """What tells a sheet from another: its visit, when it was worked out, how long it is."""
    made = said_with_hour(sheet.worked_out)
    return w.SHEET_OF.format(
        day=said(sheet.day), when=made, tasks=counted(len(sheet.tasks), "tasks")
    )


def parts_of(
    house: House, sheet: PaperSheet, filled: Filled, faults: Mapping[int, tuple[Fault, ...]]
) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """The parts of the sheet in its order, each with its lines."""
    record = house.record()
    rows: dict[str, list[dict[str, Any]]] = {}
    for number, task in sheet.tasks.items():
        rows.setdefault(task["part"], []).append(
            _row(house, number, task, record, filled) | {"faults": faults.get(number, ())}
        )
    yield from ((wording.PARTS[part], held) for part, held in rows.items())


def _row(
    house: House, number: int, task: dict[str, Any], record: Record, filled: Filled
) -> dict[str, Any]:
    ticked = tick_of(record, task["id"])
    starts = task.get("starts")
    return {
        "number": number,
        "says": capital(title(task["says"])),
        "starts": figures.hour(datetime.fromisoformat(starts)) if starts else "",
        "conditional": bool(task["only_if"]),
        "ticked": f"{house.say(ticked.says)}, {said_with_hour(ticked.at)}" if ticked else "",
        "otherwise": FORM_OF_TASK.get(task["kind"], ""),
        "task": task["id"],
        "how": filled.one(f"{number} how"),
        "blanks": [
            (f"{number} {blank.name}", blank.says, filled.one(f"{number} {blank.name}"))
            for blank in _blanks(task, house.units)
        ],
    }
