"""What the JSON API reads: the plan and parts of it, the plot, the record, the words."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request
from starlette.responses import JSONResponse

from lattermath.desk.ground_asked import plot_and_ground
from lattermath.desk.known_words import known_words
from lattermath.desk.told_entries import entry_of
from lattermath.doors.answering import error_data
from lattermath.doors.web import api_shapes as shapes
from lattermath.doors.web.api_shapes import Day, EventShape, NotYet, RecordPage, State, answer
from lattermath.doors.web.house import House, house_of
from lattermath.vocabulary.errors import Fault, NotThere
from lattermath.vocabulary.plan import Clearance, Plan, StandbyAdvice
from lattermath.vocabulary.plot import Plot

router = APIRouter(responses=shapes.REFUSALS)
WAITS = 10.0  # seconds that an answer waits for a plan which is being made
MOST_SERIAL = 2**53 - 1  # the largest whole number that every reader of JSON holds exactly
Serial = Annotated[int, Path(ge=1, le=MOST_SERIAL)]


@router.get("/state", response_model=State)
def state(request: Request) -> JSONResponse:
    """Whether a plan is being made, and what the newest one knows."""
    kept = house_of(request).keeper.look()
    return answer(
        {
            "being_made": kept.being_made,
            "stamp": kept.stamp,
            "serial": kept.serial,
            "refused": error_data(kept.refused.faults) if kept.refused else None,
        }
    )


@router.get("/plan", response_model=Plan)
def plan(request: Request, on: Day = None) -> JSONResponse:
    """The whole plan for the coming visits, as `lattermath plan --json` writes it."""
    return answer(_plan(house_of(request), on))


@router.get("/picking", response_model=list[Clearance])
def picking(request: Request, on: Day = None) -> JSONResponse:
    """What may be picked, and from when the rest may be."""
    return answer(_plan(house_of(request), on).picking)


@router.get("/standby", response_model=list[StandbyAdvice])
def standby(request: Request, on: Day = None) -> JSONResponse:
    """The cups on the bench, and what to sow at home by when."""
    return answer(_plan(house_of(request), on).standby)


@router.get("/plot", response_model=Plot)
def plot(request: Request, on: Day = None) -> JSONResponse:
    """The plot at the end of a day: beds, plantings, cups, shelf with its label lines, rules."""
    house = house_of(request)
    day = shapes.day_of(on) or house.today(house.record())
    return answer(plot_and_ground(house.folder, day)[0])


@router.get("/record", response_model=RecordPage)
def record(
    request: Request,
    first: Annotated[int, Query(alias="from", ge=0, le=MOST_SERIAL)] = 0,
    count: Annotated[int, Query(ge=1, le=500)] = 60,
) -> JSONResponse:
    """The record in words, the newest entry first, `count` of them after the first `from`."""
    told = house_of(request).record().entries
    return answer({"total": len(told), "entries": told[first : first + count]})


@router.get("/record/{serial}", response_model=EventShape)
def entry(request: Request, serial: Serial) -> JSONResponse:
    """One entry as the journal keeps it."""
    event = entry_of(house_of(request).folder, serial)
    if event is None:
        remedy = "GET record lists the entries."
        raise NotThere(Fault("there is no such entry", "serial", str(serial), remedy))
    return answer(event)


@router.get("/words", response_model=dict[str, list[str]])
def words(request: Request) -> JSONResponse:
    """The words that entries may use: crops, insects and mites, diseases, methods."""
    return answer(known_words(house_of(request).folder))


def _plan(house: House, on: str | None) -> Plan:
    """The newest plan, or that of another day; NotYet where it takes longer than an answer may."""
    day = shapes.day_of(on)
    if day is None or day == house.on:
        house.keeper.look()  # begins a newer plan where an entry came since
        kept = house.keeper.wait(WAITS)
    else:
        kept = house.keeper.of_day(day, WAITS)
    if kept.plan is not None:
        return kept.plan
    if kept.refused is not None:
        raise kept.refused
    raise NotYet(Fault("the plan is being worked out", "plan", "", "Ask again in a moment."))
