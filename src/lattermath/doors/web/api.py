"""The JSON API of one plot: the desk asked by programs, described by its own OpenAPI document."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.utils import get_openapi
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse

from lattermath import __version__
from lattermath.doors.web import api_pairing, api_reading, api_writing
from lattermath.doors.web.api_shapes import CANNOT_BE, NO_JSON, OURS, refusal, refused
from lattermath.doors.web.house import House
from lattermath.vocabulary.errors import Fault, LattermathError

TITLE = "Lattermath"
ABOUT = (
    "The plan of a plot and its record, for programs. Weights in kg, temperatures in C, days as "
    "YYYY-MM-DD, hours with their offset; sentences in English with metric units. Every refusal "
    "has one shape: what, where, value, remedy."
)
DESCRIPTION = "GET openapi.json tells what can be asked and how."
CLOCK = "^[0-9]{2}:[0-9]{2}(:[0-9]{2})?$"
MOST_FOUND = 200  # characters of a value that a refusal repeats


def make_api(house: House) -> FastAPI:
    """The API of a house, to be mounted beside its pages and behind their guard."""
    api = FastAPI(
        title=TITLE, version=__version__, description=ABOUT, docs_url=None, redoc_url=None,
        openapi_url="/openapi.json",
    )  # fmt: skip
    api.state.house = house
    api.openapi = lambda: _described(api)  # type: ignore[method-assign]
    for routes in (api_reading, api_writing, api_pairing):
        api.include_router(routes.router)
    api.add_exception_handler(LattermathError, refused)
    api.add_exception_handler(RequestValidationError, _misshapen)
    api.add_exception_handler(HTTPException, elsewhere)
    api.add_exception_handler(Exception, _ours)
    return api


def _described(api: FastAPI) -> dict[str, Any]:
    """The description; hours of the plot's own clock have no offset, as `format: time` asks."""
    if api.openapi_schema is None:
        api.openapi_schema = get_openapi(
            title=api.title, version=api.version, description=api.description, routes=api.routes
        )
        for shape in api.openapi_schema["components"]["schemas"].values():
            for told in shape.get("properties", {}).values():
                for one in (told, *told.get("anyOf", ())):
                    if one.get("format") == "time":
                        del one["format"]
                        one["pattern"] = CLOCK
    return api.openapi_schema


def _misshapen(_: Request, error: Exception) -> JSONResponse:
    """A question that its own description does not allow: every fault of it."""
    assert isinstance(error, RequestValidationError)
    faults, status = [], CANNOT_BE
    for one in error.errors():
        if one["type"] == "json_invalid":
            status = NO_JSON
        found = "" if one["type"] == "missing" else str(one.get("input", ""))[:MOST_FOUND]
        where = ".".join(map(str, one["loc"]))
        faults.append(Fault(str(one["msg"]).lower(), where, found, DESCRIPTION))
    return refusal(faults, status)


def elsewhere(request: Request, error: Exception) -> JSONResponse:
    """An address or a method that the API has not."""
    assert isinstance(error, HTTPException)
    fault = Fault(error.detail.lower(), request.url.path, request.method, DESCRIPTION)
    return refusal([fault], error.status_code, dict(error.headers or {}))


def _ours(request: Request, _: Exception) -> JSONResponse:
    """A fault of the program's own; what it was stands where the program was started."""
    remedy = "Nothing is half-written. Ask again; if it comes again, tell the makers."
    return refusal([Fault("the program failed", request.url.path, "", remedy)], OURS)
