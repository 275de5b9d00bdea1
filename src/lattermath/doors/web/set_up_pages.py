"""Setting a plot up: the first start, and what can be told later, section by section."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.local_zone import local_zone
from lattermath.desk.plan_keeper import Kept
from lattermath.desk.set_up import PlotText, is_started, plot_text, tried, write
from lattermath.doors.web import first_form
from lattermath.doors.web.first_form import FirstForm
from lattermath.doors.web.first_page import page_of
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_glance import all_sections
from lattermath.doors.web.set_up_now import SEE_OTHER, UNREADABLE, filled_of, now_of
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import InputError, LattermathError, PlotFileError

router = APIRouter()
NOTHING = Kept(None, False, None)


@router.get("/set-up")
def set_up(request: Request) -> Response:
    """The short form of a first start; after it, what is told and what may be told yet."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    if is_started(house.folder):
        return all_sections(house, held, request.query_params.get("done", ""))
    return _first(house, held)


@router.post("/set-up")
async def begin(request: Request) -> Response:
    """Write plot.toml from the short form, and start; the form again where it cannot be."""
    filled = await filled_of(request)
    return await run_in_threadpool(_begin, house_of(request), filled)


@router.post("/set-up/start")
async def start_there(request: Request) -> Response:
    """Start with the plot file that is there."""
    seen = (await filled_of(request)).one("seen")
    return await run_in_threadpool(_start_there, house_of(request), seen)


def _start_there(house: House, seen: str) -> Response:
    try:
        with house.writing:
            write(house.folder, (), seen, now_of(house))
    except LattermathError as refused:
        form = FirstForm()
        form.placed.others += refused.faults
        held = plot_text(house.folder, now_of(house))
        return _first(house, held, None, form)
    return RedirectResponse("/", SEE_OTHER)


def _begin(house: House, filled: Filled) -> Response:
    if is_started(house.folder):  # sent twice: the first one counted
        return RedirectResponse("/", SEE_OTHER)
    now = now_of(house)
    held = plot_text(house.folder, now)
    form = first_form.read(filled, now.date())
    try:
        changes = first_form.changes(form, held)
        faults = tried(house.folder, held, changes, now).faults
        first_form.place_faults(form, faults, held)
        if not (form.placed.by_name or form.placed.others):
            with house.writing:
                write(house.folder, changes, filled.one("seen"), now)
            return RedirectResponse("/", SEE_OTHER)
    except (PlotFileError, InputError) as refused:
        form.placed.others += refused.faults
    return _first(house, plot_text(house.folder, now), filled, form)


def _first(
    house: House, held: PlotText, filled: Filled | None = None, form: FirstForm | None = None
) -> HTMLResponse:
    from lattermath.desk.known_words import known_words

    told: dict[str, Any] = page_of(held, _today(house), house.units, local_zone(), filled, form)
    crops = known_words(house.folder)["crops"]
    folder = str(house.folder.resolve())
    return house.page(
        "set_up_first.html",
        "/set-up",
        u.FIRST,
        NOTHING,
        UNREADABLE if told["count"] else 200,
        crops=crops,
        folder=folder,
        bare=True,
        plot="",
        **told,
    )


def _today(house: House) -> date:
    return now_of(house).date()
