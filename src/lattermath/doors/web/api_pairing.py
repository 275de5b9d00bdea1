"""How a program beyond this machine gets its token: by the same code as a phone, once."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import JSONResponse

from lattermath.desk.paired_phones import admit
from lattermath.doors.web import api_shapes as shapes
from lattermath.doors.web.callers import caller_of
from lattermath.doors.web.house import house_of
from lattermath.sheets import phone_words as h
from lattermath.vocabulary.errors import Fault, InputError

router = APIRouter(responses=shapes.REFUSALS)


class Pairing(BaseModel):
    """A code from the page Phones, and what the program is to be called there."""

    model_config = ConfigDict(extra="forbid", strict=True)
    code: Annotated[str, Field(min_length=1, max_length=20)]
    name: Annotated[str, Field(max_length=40)] = ""


class Paired(BaseModel):
    """The token, told this once; it goes along as `Authorization: Bearer TOKEN`."""

    model_config = ConfigDict(extra="forbid")
    token: str


@router.post("/pair", status_code=shapes.NEW, response_model=Paired)
def pair(request: Request, asked: Pairing) -> JSONResponse:
    """Use a code up and get a token; only where the plot is served with `--lan`."""
    house, lan = house_of(request), caller_of(request).lan
    if lan is None:
        what = "the plot is open on this machine only, where no token is needed"
        raise InputError(Fault(what, "code", "", h.NOT_SERVED))
    lan.codes.use(asked.code)
    return shapes.answer(
        Paired(token=admit(house.folder, asked.name, "program")).model_dump(), shapes.NEW
    )
