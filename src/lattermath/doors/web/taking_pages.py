"""The take-away page served, and its entries taken in."""

from __future__ import annotations

import json
import re
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, JSONResponse, Response

from lattermath.desk.arrived import arrived
from lattermath.doors.web.callers import caller_of
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_forms import FORMS
from lattermath.doors.web.take_away import HERE_NAMES, take_away_page
from lattermath.doors.web.take_in import TakenIn, as_data, read_parcel, take_in
from lattermath.sheets import page_words as p
from lattermath.sheets import phone_words as h
from lattermath.sheets.page_views import task_titles
from lattermath.vocabulary.errors import Fault, InputError, LattermathError

router = APIRouter()
UNREADABLE, NOT_YET, MISSING = 422, 503, 404
MOST_IDS, LONGEST_ID = 100, 40
# A page of a file has no origin, and says so (Fetch standard, "opaque origin").
READ_BY_FILES = {
    "access-control-allow-origin": "null",
    "cross-origin-resource-policy": "cross-origin",
}
POLICY = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]*)"')


@router.get("/take-away.html")
def take_away(request: Request) -> Response:
    """The coming visit as one file; it can be opened here, or saved and opened without signal."""
    house = house_of(request)
    kept = house.keeper.wait(30)
    if kept.plan is None:
        return house.page("take.html", "/take", p.TAKE, kept, NOT_YET, said=(), pasted="")
    served = f"{request.url.scheme}://{request.url.netloc}"
    lan = caller_of(request).lan
    page = take_away_page(
        *(kept.plan, house.record(), house.folder, house.units, kept.stamp, house.on),
        home=_carried_home(served, lan.address if lan else ""),
        served=served,
    )
    found = POLICY.search(page)
    headers = {"content-security-policy": found[1]} if found else {}
    return HTMLResponse(page, headers=headers)


def _carried_home(served: str, lan_address: str) -> str:
    """Where a saved page finds home: on a phone, `localhost` would be the phone itself."""
    names_itself = urlsplit(served).hostname in HERE_NAMES
    return lan_address if names_itself and lan_address else served


@router.get("/hand-over")
def hand_over_page(request: Request) -> Response:
    """Where a page opened as a file hands over its entries; they go in when the grower says so.

    A page of a file has no origin, so it may not send by itself; it opens this page beside it
    and gives the entries to it. This page alone stays in touch with the window that opened it.
    """
    house = house_of(request)
    kept = house.keeper.look()
    titles = task_titles(kept.plan, house.units) if kept.plan else {}
    titles_of = {"forms": {form.key: form.title for form in FORMS}, "tasks": titles}
    answer = house.page("hand_over.html", "/take", h.HAND_OVER, kept, titles=json.dumps(titles_of))
    answer.headers["cross-origin-opener-policy"] = "unsafe-none"
    return answer


@router.get("/arrived")
def have_arrived(request: Request, journal: str = "", ids: str = "") -> Response:
    """Which entries home has, for a page that keeps them until then; it may be no page of ours.

    Answered to whoever knows the journal's own id, which only its pages say; nobody else can tell
    from the answer that there is a plot here.
    """
    house = house_of(request)
    if not house.is_started or not journal or journal != house.journal:
        return Response(status_code=MISSING)
    asked = [one for one in ids.split(",") if 0 < len(one) <= LONGEST_ID][:MOST_IDS]
    return JSONResponse({"known": arrived(house.folder, asked)}, headers=READ_BY_FILES)


@router.get("/take")
def take_page(request: Request) -> HTMLResponse:
    """How to take the visit along, and where its entries are pasted."""
    return _page(house_of(request), (), "")


@router.post("/take")
def hand_over(
    request: Request,
    pasted: Annotated[str, Form()] = "",
    saved: Annotated[UploadFile | None, File()] = None,
) -> HTMLResponse:
    """Take in entries that were pasted, or those of a file that the page saved."""
    house = house_of(request)
    try:
        text = saved.file.read().decode("utf-8-sig", "replace") if saved else ""
        if not (text := text or pasted.strip()):
            raise InputError(Fault(p.NOTHING_HANDED, p.TAKE, "", p.NOTHING_HANDED_REMEDY))
        told = _taken(house, text)
    except LattermathError as refused:
        return _page(house, tuple(map(str, refused.faults)), pasted, UNREADABLE)
    return _page(house, tuple(house.say(line) for line in told.says), "")


@router.post("/take-in")
async def arrive(request: Request) -> JSONResponse:
    """Take in entries that a page sends."""
    text = (await request.body()).decode("utf-8", "replace")
    told = await run_in_threadpool(_taken, house_of(request), text)
    return JSONResponse(as_data(told))


def _taken(house: House, text: str) -> TakenIn:
    with house.writing:
        return take_in(house.folder, read_parcel(text), house.units)


def _page(house: House, said: tuple[str, ...], pasted: str, status: int = 200) -> HTMLResponse:
    kept = house.keeper.look()
    return house.page("take.html", "/take", p.TAKE, kept, status, said=said, pasted=pasted)
