"""The season in pictures, and each picture and its numbers as a file."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from lattermath.doors.pictures import charts_of
from lattermath.doors.web.house import House, house_of
from lattermath.sheets import page_words as p
from lattermath.sheets.chart import Chart, csv_text
from lattermath.sheets.chart_drawing import svg
from lattermath.sheets.season_views import season_page
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.plan import Plan

router = APIRouter()
MISSING = 404
FORMS = {"svg": "image/svg+xml", "csv": "text/csv; charset=utf-8"}


@router.get("/season")
def season(request: Request) -> HTMLResponse:
    """Harvest, days, and what lives on the plantings, over the season."""
    house = house_of(request)
    kept = house.keeper.look()
    charts = _charts(house, kept.plan)
    frost = house.say(kept.plan.frost) if kept.plan else ""
    return house.page(
        "season.html", "/season", p.SEASON, kept, charts=season_page(charts), frost_says=frost
    )


@router.get("/season/{name}.{form}")
def picture(request: Request, name: str, form: str) -> Response:
    """One picture as an SVG file, or its numbers as CSV."""
    house = house_of(request)
    charts = {chart.key: chart for chart in _charts(house, house.keeper.look().plan)}
    if name not in charts or form not in FORMS:
        fault = Fault(p.NOT_FOUND, request.url.path, "", p.NOT_FOUND_REMEDY)
        return house.refusal([fault], MISSING, p.NOT_FOUND)
    chart = charts[name]
    text = csv_text(chart) if form == "csv" else svg(chart, alone=True)
    return Response(text, media_type=FORMS[form])


def _charts(house: House, plan: Plan | None) -> list[Chart]:
    return charts_of(house.folder, plan, house.units)
