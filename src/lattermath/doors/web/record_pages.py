"""The record as a page, and taking an entry back."""

from __future__ import annotations

from itertools import groupby
from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.photos import kept_photo
from lattermath.desk.taking_back import take_back
from lattermath.doors.web.house import house_of
from lattermath.sheets import page_words as p
from lattermath.sheets.figures import long_day
from lattermath.vocabulary.errors import Fault

router = APIRouter()
ON_A_PAGE = 60
SEE_OTHER, MISSING = 303, 404


@router.get("/record")
def record(request: Request) -> HTMLResponse:
    """Every entry, the newest first, a page at a time."""
    house = house_of(request)
    asked = request.query_params.get("from", "0")
    first = int(asked) if asked.isdecimal() and len(asked) < 9 else 0
    record = house.record()
    told = record.entries
    shown = told[first : first + ON_A_PAGE]
    days = [
        {"says": long_day(day), "entries": house.entries(entries)}
        for day, entries in groupby(shown, key=lambda one: one.at.date())
    ]
    return house.page(
        "record.html",
        "/record",
        p.RECORD,
        house.keeper.look(),
        days=days,
        at_odds=house.at_odds(record) if not first else [],
        newer=max(first - ON_A_PAGE, 0) if first else None,
        older=first + ON_A_PAGE if first + ON_A_PAGE < len(told) else None,
    )


@router.get("/photo/{name}")
def photo(request: Request, name: str) -> Response:
    """A photo that was kept with an entry; `?small` as it stands in a list."""
    house = house_of(request)
    data = kept_photo(house.folder, name, "small" in request.query_params)
    if data is None:
        fault = Fault(p.NOT_FOUND, request.url.path, "", p.NOT_FOUND_REMEDY)
        return house.refusal([fault], MISSING, p.NOT_FOUND)
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, no-cache"})


@router.post("/undo")
def undo(
    request: Request,
    entry: Annotated[str, Form()],
    id: Annotated[str, Form()],
    back: Annotated[str, Form()] = "/record",
    task: Annotated[str, Form()] = "",
) -> RedirectResponse:
    """Take an entry back; it stays in the journal and no longer counts."""
    house = house_of(request)
    when = house.when(house.record().plot)
    take_back(house.folder, entry, when, entry_id=id)
    to = back if back in {address for address, _, _ in p.PAGES} else "/record"
    return RedirectResponse(f"/#task-{task}" if to == "/" and task.isalnum() else to, SEE_OTHER)
