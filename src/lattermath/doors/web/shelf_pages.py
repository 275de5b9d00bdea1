"""The shelf and its label limits; read only."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from lattermath.desk.shelf_rulings import shelf_rulings
from lattermath.doors.web.house import house_of
from lattermath.sheets import page_words as p
from lattermath.sheets.label_views import first_aid
from lattermath.sheets.shelf_views import Product, shelf_page
from lattermath.vocabulary import calendar

router = APIRouter()


@router.get("/shelf")
def shelf(request: Request) -> HTMLResponse:
    """Each product with its limits in the label's words, where it may go, and what bars it."""
    house = house_of(request)
    record = house.record()
    held = shelf_rulings(house.folder, house.today(record))
    products = [
        Product(
            one.label,
            one.active,
            one.crops,
            tuple((use.name, use.listed, use.ruling) for use in one.uses),
        )
        for one in held.products
    ]
    told = shelf_page(products, held.picking, house.units, held.at.date())
    ring = first_aid((), record.plot.rules.poison_number)[0]
    asked = calendar.said_with_hour(held.at)
    return house.page(
        "shelf.html", "/shelf", p.SHELF, house.keeper.look(), asked=asked, ring=ring, **told
    )
