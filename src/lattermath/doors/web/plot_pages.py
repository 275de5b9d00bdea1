"""The plot to scale."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from lattermath.doors.pictures import plot_of
from lattermath.doors.web.house import house_of
from lattermath.sheets import page_words as p
from lattermath.sheets.figures import listed

router = APIRouter()


@router.get("/plot")
def plot(request: Request) -> HTMLResponse:
    """Beds and plantings in metres, their state, what is on them and where it may go."""
    house = house_of(request)
    kept = house.keeper.look()
    told = plot_of(house.folder, house.today(house.record()), kept.plan, house.units)
    return house.page("plot.html", "/plot", p.PLOT, kept, laid_said=listed(told["laid"]), **told)
