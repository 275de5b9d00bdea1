"""Looking: what to look at, what may be behind what was seen, the next look, what to do."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from lattermath.desk.look import look
from lattermath.desk.look_parts import LookParts, look_parts
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import plantings
from lattermath.sheets import page_words as p
from lattermath.sheets.page_views import looking_tasks
from lattermath.vocabulary.errors import Fault, InputError

router = APIRouter()
UNREADABLE = 422
SIGN = "sign."  # before the id of a sign in the name of its three choices
MOST_ANSWERS = 60


@router.get("/look")
def look_page(request: Request) -> HTMLResponse:
    """A form for what was seen on a planting, and what may be behind it; nothing is written."""
    house = house_of(request)
    kept, record = house.keeper.look(), house.record()
    asked = request.query_params.multi_items()
    planting = next((value for name, value in asked if name == "planting"), "")
    seen, denied = _answers(asked, "seen"), _answers(asked, "not")
    words = next((value.strip() for name, value in asked if name == "words"), "")
    parts, faults = _looked(house, planting, seen, denied, words)
    return house.page(
        "look.html",
        "/look",
        p.LOOK,
        kept,
        UNREADABLE if faults else 200,
        plantings=plantings(record.plot),
        tasks=looking_tasks(kept.plan, house.units) if kept.plan else [],
        parts=parts,
        chosen=parts.planting if parts else "",
        faults=[_said(fault) for fault in faults],
        words=words if faults else "",
        forms={"count": "/log/counted", "severity": "/log/spots"},
    )


def _answers(asked: list[tuple[str, str]], answer: str) -> tuple[str, ...]:
    """The signs that were answered so, by their three choices."""
    found = [name.removeprefix(SIGN) for name, value in asked
             if name.startswith(SIGN) and value == answer]  # fmt: skip
    return tuple(dict.fromkeys(found))[:MOST_ANSWERS]


def _looked(
    house: House, planting: str, seen: tuple[str, ...], denied: tuple[str, ...], words: str
) -> tuple[LookParts | None, tuple[Fault, ...]]:
    """The look, and what could not be taken; without the new words where those were not known."""
    if not planting:
        return None, ()
    try:
        with_words = (*seen, words) if words else seen
        parts = look_parts(look(house.folder, planting, with_words, denied, house.on))
        return parts, parts.asked
    except InputError as refused:
        faults = refused.faults
    try:
        return look_parts(look(house.folder, planting, seen, denied, house.on)), faults
    except InputError:
        return None, faults


def _said(fault: Fault) -> dict[str, Any]:
    """A refusal in plain words: ids of signs are words joined by strokes."""
    return {
        "what": fault.what,
        "value": fault.value.replace("_", " "),
        "remedy": fault.remedy.replace("_", " "),
    }
