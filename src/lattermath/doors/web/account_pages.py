"""The account of the season as a page, and account and record as files to hand over."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from lattermath.desk.photos import photos_at
from lattermath.doors.handing_over import account_of, record_of_season
from lattermath.doors.web.house import House, house_of
from lattermath.sheets import account_words as a
from lattermath.sheets.booklet import Booklet, booklet_page, booklet_pdf
from lattermath.sheets.typesetting import paper_for

router = APIRouter()


@router.get("/account")
def account(request: Request) -> HTMLResponse:
    """What was seen and done on each planting, and why, to be shown."""
    house = house_of(request)
    made = account_of(house.folder, house.on, house.units)
    kept = house.keeper.look()
    return house.page(
        "account.html",
        "/account",
        a.ACCOUNT,
        kept,
        made=made,
        lead=a.PAGE_LEAD,
        a=a,
        source="/photo/{}".format,
    )


@router.get("/account.pdf")
def account_file(request: Request) -> Response:
    """The account for the printer."""
    house = house_of(request)
    return _pdf(house, account_of(house.folder, house.on, house.units), "account.pdf")


@router.get("/record.pdf")
def record_file(request: Request) -> Response:
    """The record for the printer."""
    house = house_of(request)
    return _pdf(house, record_of_season(house.folder, house.on, house.units), "record.pdf")


@router.get("/account.html")
def account_alone(request: Request) -> HTMLResponse:
    """The account as one page that needs no other file."""
    house = house_of(request)
    made = account_of(house.folder, house.on, house.units)
    headers = {"content-disposition": 'attachment; filename="account.html"'}
    return HTMLResponse(
        booklet_page(made, paper_for(house.units, None), photos_at(house.folder)), headers=headers
    )


def _pdf(house: House, made: Booklet, name: str) -> Response:
    data = booklet_pdf(made, paper_for(house.units, None), photos_at(house.folder))
    headers = {"content-disposition": f'inline; filename="{name}"'}
    return Response(data, media_type="application/pdf", headers=headers)
