"""Setting a plot up: the first start, and what can be told later, section by section."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from lattermath.desk.set_up import is_started, plot_text, tried, write
from lattermath.doors.web import first_form
from lattermath.doors.web.first_form import FirstForm
from lattermath.doors.web.first_page import first_page
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_glance import all_sections
from lattermath.doors.web.set_up_now import SEE_OTHER, filled_of, now_of
from lattermath.vocabulary.errors import InputError, LattermathError, PlotFileError

router = APIRouter()


@router.get("/set-up")
def set_up(request: Request) -> Response:
    """The short form of a first start; after it, what is told and what may be told yet."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    if is_started(house.folder):
        return all_sections(house, held, request.query_params.get("done", ""))
    return first_page(house, held, now_of(house).date())


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
        return first_page(house, held, now_of(house).date(), None, form)
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
    return first_page(house, plot_text(house.folder, now), now.date(), filled, form)
