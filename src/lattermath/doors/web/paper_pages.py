"""Paper from the pages: what can be printed or carried elsewhere, each as one file."""

from __future__ import annotations

import io
import tempfile
import zipfile
from pathlib import Path
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from lattermath.desk import keepers, plan_visit
from lattermath.desk.paired_phones import calendars
from lattermath.doors.papers import Printed, pdf_of
from lattermath.doors.web.house import House, house_of
from lattermath.sheets import calendar_words as c
from lattermath.sheets import paper_words as w
from lattermath.sheets.calendar_file import calendar_file
from lattermath.sheets.calendar_items import calendar_items
from lattermath.sheets.typesetting import paper_for
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.plan import Plan

router = APIRouter()
FIRST_PLAN_S = 30  # as long as a first plan may take before the page says to come back
NOTHING_THERE, NOT_YET = 404, 503


@router.get("/paper")
def paper(request: Request) -> HTMLResponse:
    """What can be printed."""
    return paper_page(house_of(request))


@router.get("/paper/{name}.pdf")
def printed(request: Request, name: Printed) -> Response:
    """One of them, for the printer."""
    house = house_of(request)
    plan = house.keeper.wait(FIRST_PLAN_S).plan
    if plan is None:
        return paper_page(house, w.NO_PLAN, NOT_YET)
    made = pdf_of(name, house.folder, plan, house.units, paper_for(house.units, None))
    if made is None:
        return paper_page(house, w.NOTHING[name], NOTHING_THERE)
    return _file(made, "application/pdf", f"{name}.pdf", "inline")


@router.get("/visits.ics")
def visits(request: Request) -> Response:
    """The coming visits, and until when what is closed, for a calendar."""
    house = house_of(request)
    plan = house.keeper.wait(FIRST_PLAN_S).plan
    if plan is None:
        return paper_page(house, w.NO_PLAN, NOT_YET)
    return _file(_calendar(house, plan), "text/calendar", "visits.ics", "attachment")


@router.get("/whole-record.zip")
def whole_record(request: Request) -> Response:
    """The whole record in open forms, with plot and photos, to keep elsewhere."""
    house, packed = house_of(request), io.BytesIO()
    with tempfile.TemporaryDirectory() as made, zipfile.ZipFile(packed, "w") as into:
        folder = Path(made) / "record"
        with house.writing:
            keepers.export(house.folder, folder)
        for file in sorted(one for one in folder.rglob("*") if one.is_file()):
            into.write(file, file.relative_to(folder).as_posix(), zipfile.ZIP_DEFLATED)
    return _file(packed.getvalue(), "application/zip", "whole-record.zip", "attachment")


def _calendar(house: House, plan: Plan) -> bytes:
    before = plan_visit.plan_before(house.folder, plan)
    made = calendar_file(plan, calendar_items(plan, house.units, before))
    return made if isinstance(made, bytes) else made.encode()


def paper_page(house: House, said: str = "", status: int = 200, address: str = "") -> HTMLResponse:
    """The page; `address`: of a calendar just made, which is told once."""
    kept = house.keeper.look()
    zone = ZoneInfo(house.record().plot.place.time_zone)
    feeds = [
        {
            "key": one.key,
            "name": one.name,
            "says": c.FEED_LINE.format(
                made=said_with_hour(one.paired_at.astimezone(zone)),
                seen=said_with_hour(one.seen_at.astimezone(zone)),
            ),
        }
        for one in calendars(house.folder)
    ]
    told = {"w": w, "c": c, "said": said, "address": address, "feeds": feeds}
    return house.page("paper.html", "/paper", w.PAPER, kept, status, **told)


def _file(data: bytes, kind: str, name: str, how: str) -> Response:
    headers = {"content-disposition": f'{how}; filename="{name}"'}
    return Response(data, media_type=kind, headers=headers)
