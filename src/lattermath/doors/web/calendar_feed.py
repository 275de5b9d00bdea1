"""A calendar that a calendar program reads by itself: its own secret address, and nothing else.

The address is made on the page Paper and told once; whoever has it reads the coming visits and
limits and nothing more. It is listed beside the phones and taken away as they are.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime
from email.utils import format_datetime, parsedate_to_datetime
from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response

from lattermath.desk import plan_visit
from lattermath.desk.paired_phones import (
    CALENDAR_PATH,
    admit,
    calendar_of,
    calendar_path,
    calendars,
    revoke,
)
from lattermath.doors.web.callers import caller_of
from lattermath.doors.web.house import house_of
from lattermath.doors.web.paper_pages import FIRST_PLAN_S, NOT_YET, paper_page
from lattermath.sheets import calendar_words as c
from lattermath.sheets.calendar_file import calendar_file
from lattermath.sheets.calendar_items import calendar_items

router = APIRouter()
NOT_CHANGED, NOT_THERE = 304, 404
RETRY_S = 120  # in which a first plan is surely made


@router.get(CALENDAR_PATH)
@router.head(CALENDAR_PATH)
def feed(request: Request, secret: str) -> Response:
    """The visits and limits as they stand, for whoever has the address; 304 where unchanged."""
    house = house_of(request)
    if calendar_of(house.folder, secret) is None:
        return PlainTextResponse(c.NO_FEED, NOT_THERE)
    plan = house.keeper.wait(FIRST_PLAN_S).plan
    if plan is None:
        return PlainTextResponse(c.NO_PLAN_YET, NOT_YET, {"retry-after": str(RETRY_S)})
    items = calendar_items(plan, house.units, plan_visit.plan_before(house.folder, plan))
    made = calendar_file(plan, items, feed=True)
    tag = f'"{hashlib.sha256(made).hexdigest()[:32]}"'
    told = {
        "etag": tag,
        "last-modified": format_datetime(plan.as_of.astimezone(UTC), usegmt=True),
        "cache-control": "private, no-cache",  # kept, but asked about before it is used again
        "content-disposition": 'inline; filename="visits.ics"',
    }
    if _has_it(request, tag, plan.as_of):
        return Response(status_code=NOT_CHANGED, headers=told)
    return Response(made, media_type="text/calendar; charset=utf-8", headers=told)


def _has_it(request: Request, tag: str, as_of: datetime) -> bool:
    """Whether the asker holds this very calendar; a tag outranks a date (RFC 9110)."""
    tags = request.headers.get("if-none-match")
    if tags is not None:
        return any(one.strip().removeprefix("W/") in (tag, "*") for one in tags.split(","))
    try:
        since = parsedate_to_datetime(request.headers.get("if-modified-since", ""))
    except ValueError:
        return False
    if since.tzinfo is None:
        return False
    return as_of.astimezone(UTC).replace(microsecond=0) <= since


@router.post("/calendars")
def make_address(request: Request, name: Annotated[str, Form()] = "") -> HTMLResponse:
    """Make an address, told this once."""
    house = house_of(request)
    secret = admit(house.folder, name, "calendar")
    lan = caller_of(request).lan
    begins = lan.address if lan else str(request.base_url).rstrip("/")
    return paper_page(house, address=begins + calendar_path(secret))


@router.post("/calendars/revoke")
def take_away(request: Request, calendar: Annotated[str, Form()]) -> HTMLResponse:
    """Take an address away, at once; a phone's leave is not taken here."""
    house = house_of(request)
    known = {one.key for one in calendars(house.folder)}
    gone = revoke(house.folder, calendar) if calendar in known else ()
    says = [c.FEED_REVOKED.format(name=one.name) for one in gone]
    return paper_page(house, " ".join(says))
