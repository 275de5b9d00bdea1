"""The page that mirrors a printed sheet, to type up what was ticked and filled in by pencil."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.known_words import known_words
from lattermath.desk.paper_sheets import PaperSheet, paper_sheet, paper_sheets
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.log_forms import Asked
from lattermath.doors.web.typed_lines import head_of, lines_of, page_id, parts_of
from lattermath.doors.web.typing_up import ARRIVED, NOTE, Outcome, Typed, write_down
from lattermath.sheets import paper_words as w
from lattermath.sheets.wording import ALSO_SEEN
from lattermath.vocabulary.errors import InputError

router = APIRouter()
SEE_OTHER, UNREADABLE = 303, 422


@router.get("/typing")
def choose(request: Request) -> Response:
    """Which sheet; the one whose mark was typed is opened."""
    house = house_of(request)
    mark = request.query_params.get("mark", "").strip().lower()
    if mark:
        return RedirectResponse(f"/typing/{paper_sheet(house.folder, mark).mark}", SEE_OTHER)
    held = paper_sheets(house.folder, house.today(house.record()))
    kept = house.keeper.look()
    sheets = [(one.mark, head_of(one)) for one in held]
    return house.page("typing.html", "/paper", w.TYPE_UP, kept, w=w, sheets=sheets)


@router.get("/typing/{mark}")
def mirror(request: Request, mark: str) -> HTMLResponse:
    """One sheet, line by line, to be filled in as its paper is."""
    house = house_of(request)
    sheet = paper_sheet(house.folder, mark)
    return _shown(house, sheet, Filled(()), Outcome())


@router.post("/typing/{mark}")
async def take(request: Request, mark: str) -> HTMLResponse:
    """Write the lines down; those that say too little are shown again with what is wrong."""
    async with request.form() as form:
        filled = Filled((n, value) for n, value in form.multi_items() if isinstance(value, str))
    return await run_in_threadpool(_take, house_of(request), mark, filled)


def _take(house: House, mark: str, filled: Filled) -> HTMLResponse:
    sheet = paper_sheet(house.folder, mark)
    record = house.record()
    try:
        arrived = filled.hour("at") or sheet.arrive.replace(tzinfo=None)
    except InputError as refused:
        return _shown(house, sheet, filled, Outcome({ARRIVED: refused.faults}))
    lines = lines_of(sheet, filled, house.units, record.tables.crosswalk.kinds)
    typed = Typed(sheet, page_id(filled), arrived, lines, filled.one("note"))
    told = write_down(house, typed, Asked(record.plot, house.units, known_words(house.folder)))
    return _shown(house, sheet, filled, told)


def _shown(house: House, sheet: PaperSheet, filled: Filled, told: Outcome) -> HTMLResponse:
    kept = house.keeper.look()
    return house.page(
        "typing_sheet.html",
        "/paper",
        w.SHEET.format(mark=sheet.mark),
        kept,
        UNREADABLE if told.faults else 200,
        w=w,
        also_seen=ALSO_SEEN,
        head=head_of(sheet),
        mark=sheet.mark,
        id=filled.one("id") or house.new_id(),
        at=filled.one("at") or f"{sheet.arrive:%Y-%m-%d %H:%M}",
        note=filled.one("note") if NOTE in told.faults else "",
        note_faults=told.faults.get(NOTE, ()),
        at_faults=told.faults.get(ARRIVED, ()),
        told=told,
        says=[house.say(line) for line in told.says],
        parts=list(parts_of(house, sheet, filled, told.faults)),
    )
