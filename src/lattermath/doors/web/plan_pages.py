"""Pages of the plan: the next visit, picking, standby."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, JSONResponse

from lattermath.desk.set_up import plot_text
from lattermath.desk.told_entries import Record
from lattermath.doors.web.house import house_of
from lattermath.doors.web.log_pages import said_of
from lattermath.doors.web.set_up_glance import one_thing
from lattermath.doors.web.ticks import asked_of, forms_of
from lattermath.record.ids import id_beside
from lattermath.sheets import page_words as p
from lattermath.sheets import wording as w
from lattermath.sheets.page_views import picking_page, standby_page

router = APIRouter()
FORMS_OF_HOW = {"not done": p.LEFT_AT, "otherwise": p.OTHERWISE_AT}


@router.get("/")
def visit(request: Request) -> HTMLResponse:
    """What to do at the next visit, in order."""
    house = house_of(request)
    kept, record = house.keeper.look(), house.record()
    today = record.on(house.today(record))
    wanted = request.query_params.get("said", "")
    said = said_of(house, record, wanted)
    return house.page(
        "visit.html",
        "/",
        p.PAGES[0][1],
        kept,
        today=house.entries(today),
        done=_done(record),
        one=one_thing(plot_text(house.folder), record) if kept.plan and kept.plan.rough else None,
        forms=forms_of(kept.plan, asked_of(house, record)),
        said=said,
        said_task=_task_of(record, wanted) if said else "",
        said_entry=wanted,
    )


def _done(record: Record) -> dict[str, Any]:
    """The tasks that were ticked or left, by id."""
    ticks = {}
    for one in reversed(record.entries):
        if one.task and one.may_undo:
            form = FORMS_OF_HOW.get(one.how, p.DONE_AT)
            ticks[one.task] = {
                "says": form.format(hour=f"{one.at:%H:%M}"),
                "entry": one.serial,
                "of": one.says,
            }
    return ticks


def _task_of(record: Record, wanted: str) -> str:
    """The task that was ticked with an entry; empty where none was."""
    mine = next((one for one in record.entries if wanted in (str(one.serial), one.id)), None)
    if mine is None or mine.task:
        return mine.task if mine else ""
    beside = id_beside(mine.id, 0)
    return next((one.task for one in record.entries if one.id == beside), "")


@router.get("/picking")
def picking(request: Request) -> HTMLResponse:
    """What may be picked, and from when."""
    house = house_of(request)
    kept = house.keeper.look()
    told = picking_page(kept.plan, house.units) if kept.plan else {"rows": [], "weekdays": []}
    return house.page("picking.html", "/picking", w.PICKING, kept, **{"span": "", **told})


@router.get("/standby")
def standby(request: Request) -> HTMLResponse:
    """Cups on the bench, and what to sow by when."""
    house = house_of(request)
    kept = house.keeper.look()
    told = standby_page(kept.plan, house.units) if kept.plan else {"rows": []}
    return house.page("standby.html", "/standby", w.STANDBY, kept, **told)


@router.get("/state")
def state(request: Request) -> JSONResponse:
    """Whether a plan is being made, and the stamp of the newest."""
    kept = house_of(request).keeper.look()
    return JSONResponse(
        {
            "being_made": kept.being_made,
            "stamp": kept.stamp,
            "refused": kept.refused is not None,
        }
    )
