"""The shapes that the JSON API answers in, and the status of each refusal."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Annotated, Any

from fastapi import Query, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import JSONResponse

from lattermath.doors.answering import error_data
from lattermath.sheets.schema import as_data
from lattermath.vocabulary.errors import (
    EntryRefused,
    Fault,
    InputError,
    JournalError,
    LattermathError,
    NotThere,
    PlanViolates,
    SaysOtherwise,
)


class NotYet(LattermathError):
    """A plan is being worked out and was not done in time."""


DONE, NEW = 200, 201
NO_JSON, NOT_FOUND, NOT_AS_IT_STANDS, CANNOT_BE, OURS, NOT_YET = 400, 404, 409, 422, 500, 503
RETRY_SECONDS = "2"
# The first class that a refusal is of tells its status; what no request can mend is 409.
STATUSES: tuple[tuple[type[LattermathError], int], ...] = (
    (NotYet, NOT_YET),
    (NotThere, NOT_FOUND),
    (SaysOtherwise, NOT_AS_IT_STANDS),
    (EntryRefused, NOT_AS_IT_STANDS),
    (InputError, CANNOT_BE),
    (JournalError, NOT_YET),
    (PlanViolates, OURS),
    (LattermathError, NOT_AS_IT_STANDS),
)
DAY = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
Day = Annotated[
    str | None,
    Query(
        pattern=DAY,
        json_schema_extra={"format": "date"},
        description="As of this day, as 2016-08-05. Today when left out.",
    ),
]


class _Shape(BaseModel):
    model_config = ConfigDict(extra="forbid")


class OneFault(_Shape):
    """One thing wrong: what, where, the value found, and the remedy."""

    what: str
    where: str
    value: str
    remedy: str


class Refusal(OneFault):
    """The one shape of every refusal; `others` where more than one thing is wrong."""

    others: list[OneFault] = []


class State(_Shape):
    """How far the program is with the newest plan."""

    being_made: bool
    stamp: str = Field(description="What the newest plan was made from; empty where none is.")
    serial: int | None = Field(description="The last entry that the newest plan knows.")
    refused: Refusal | None = Field(description="Why the last plan could not be made.")


class ToldEntryShape(_Shape):
    """One entry of the record, in words."""

    serial: int
    id: str
    kind: str
    at: str = Field(description="By the plot's own clock, with its offset.")
    says: str
    planting: str
    gone_by: int | None = Field(description="Serial of what corrected it or took it back.")
    withdrawn: bool
    may_undo: bool
    task: str
    how: str
    photos: list[str] = Field(description="Names of pictures kept with it.")


class RecordPage(_Shape):
    """A part of the record, the newest entry first."""

    total: int
    entries: list[ToldEntryShape]


class EventShape(_Shape):
    """One entry as the journal keeps it."""

    serial: int
    id: str
    kind: str
    version: int
    happened_at: str
    zone: str
    recorded_at: str
    payload: dict[str, Any]
    supersedes: str | None


class Written(_Shape):
    """What was written down. `new` is false where it had all arrived before."""

    new: bool
    entries: list[EventShape]
    says: list[str]


REFUSALS: dict[int | str, dict[str, Any]] = {
    "4XX": {"model": Refusal, "description": "Refused: what, where, the value, the remedy."},
    NOT_YET: {"model": Refusal, "description": "Not yet; ask again after Retry-After seconds."},
}


def answer(value: Any, status: int = DONE, headers: dict[str, str] | None = None) -> JSONResponse:
    """A record, or records, as JSON with metric words."""
    return JSONResponse(as_data(value), status, headers)


def refusal(faults: Iterable[Fault], status: int, headers: Any = None) -> JSONResponse:
    """The one error shape; what no text can hold is replaced in it."""
    plain = {key: _sayable(value) for key, value in error_data(faults).items()}
    if status == NOT_YET:
        headers = {**(headers or {}), "retry-after": RETRY_SECONDS}
    return JSONResponse(plain, status, headers)


def refused(_: Request, error: Exception) -> JSONResponse:
    """Answer what the desk refused."""
    assert isinstance(error, LattermathError)
    status = next(status for kind, status in STATUSES if isinstance(error, kind))
    return refusal(error.faults, status)


def day_of(words: str | None) -> date | None:
    """The day asked for; InputError where the calendar has none such."""
    if words is None:
        return None
    try:
        return date.fromisoformat(words)
    except ValueError:
        fault = Fault("the calendar has no such day", "on", words, "Write it as 2016-08-05.")
        raise InputError(fault) from None


def _sayable(value: Any) -> Any:
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    return [{k: _sayable(v) for k, v in one.items()} for one in value]
