"""The pages of one plot, as an application that any ASGI server can run."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from importlib.resources import files
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response
from starlette.staticfiles import StaticFiles

from lattermath import __version__
from lattermath.desk.plan_keeper import PlanKeeper
from lattermath.doors.asking import Units
from lattermath.doors.web import (
    account_pages,
    calendar_feed,
    installed,
    label_pages,
    log_pages,
    look_pages,
    months_page,
    paper_pages,
    phone_pages,
    plan_pages,
    plot_pages,
    record_pages,
    season_pages,
    section_pages,
    set_up_pages,
    shelf_pages,
    taking_pages,
    ticks,
    typing_pages,
    weather_page,
    what_if_page,
)
from lattermath.doors.web.api import elsewhere, make_api
from lattermath.doors.web.callers import Lan
from lattermath.doors.web.first_start import FirstStart
from lattermath.doors.web.guard import Guard
from lattermath.doors.web.house import House, house_of
from lattermath.sheets import page_words as p
from lattermath.vocabulary.errors import Fault, LattermathError

PAGES = (
    *(plan_pages, log_pages, ticks, look_pages),
    *(plot_pages, season_pages, shelf_pages, taking_pages, record_pages),
    *(account_pages, paper_pages, typing_pages, calendar_feed, what_if_page),
    *(set_up_pages, weather_page, months_page, label_pages, section_pages),
    *(phone_pages, installed),
)
WRONG_INPUT, NOT_FOUND = 422, 404


def make_app(
    folder: Path, units: Units | None = None, on: date | None = None, lan: Lan | None = None
) -> FastAPI:
    """The pages of the plot in a folder, as of now or of a day; in its file's units, or these.

    lan : how it is served beyond this machine; None: it is not.
    """

    house = House(folder, PlanKeeper(folder, on), units, on)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        if house.is_started:
            house.keeper.look()  # begin the first plan before anybody asks
        yield
        house.keeper.close()

    app = FastAPI(
        title=p.NAME, version=__version__, lifespan=life, docs_url=None, redoc_url=None,
        openapi_url=None,
    )  # fmt: skip
    app.state.house = house
    for pages in PAGES:
        app.include_router(pages.router)
    app.mount("/api", make_api(house))
    app.mount("/static", StaticFiles(directory=str(files("lattermath.sheets") / "static")))
    app.add_middleware(FirstStart, folder=folder)
    app.add_middleware(Guard, folder=folder, lan=lan)
    app.add_exception_handler(LattermathError, _refused)
    app.add_exception_handler(RequestValidationError, _misfilled)
    app.add_exception_handler(HTTPException, _not_found)
    return app


def _refused(request: Request, error: Exception) -> HTMLResponse:
    faults = error.faults if isinstance(error, LattermathError) else ()
    return house_of(request).refusal(faults, WRONG_INPUT)


def _misfilled(request: Request, error: Exception) -> HTMLResponse:
    """A form that lacks what its page always sends."""
    told = error.errors() if isinstance(error, RequestValidationError) else ()
    faults = [
        Fault(str(one["msg"]).lower(), ".".join(map(str, one["loc"])), "", "Use the page's form.")
        for one in told
    ]
    return house_of(request).refusal(faults, WRONG_INPUT)


def _not_found(request: Request, error: Exception) -> Response:
    if request.url.path.startswith("/api/"):  # one that the API's mount does not take for its own
        return elsewhere(request, error)
    status = error.status_code if isinstance(error, HTTPException) else NOT_FOUND
    fault = Fault(p.NOT_FOUND, request.url.path, "", p.NOT_FOUND_REMEDY)
    return house_of(request).refusal([fault], status, p.NOT_FOUND)
