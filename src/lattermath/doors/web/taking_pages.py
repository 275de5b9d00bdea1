"""The take-away page served, and its entries taken in."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, JSONResponse, Response

from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.take_away import take_away_page
from lattermath.doors.web.take_in import TakenIn, as_data, read_parcel, take_in
from lattermath.sheets import page_words as p
from lattermath.vocabulary.errors import Fault, InputError, LattermathError

router = APIRouter()
UNREADABLE, NOT_YET = 422, 503
POLICY = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]*)"')


@router.get("/take-away.html")
def take_away(request: Request) -> Response:
    """The coming visit as one file; it can be opened here, or saved and opened without signal."""
    house = house_of(request)
    kept = house.keeper.wait(30)
    if kept.plan is None:
        return house.page("take.html", "/take", p.TAKE, kept, NOT_YET, said=(), pasted="")
    home = f"{request.url.scheme}://{request.url.netloc}"
    page = take_away_page(
        kept.plan, house.record(), house.folder, house.units, kept.stamp, house.on, home
    )
    found = POLICY.search(page)
    headers = {"content-security-policy": found[1]} if found else {}
    return HTMLResponse(page, headers=headers)


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
