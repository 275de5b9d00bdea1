"""The plot to scale and the season's charts, gathered for pages, print and the take-away page."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from lattermath.desk.ground_asked import plot_and_ground
from lattermath.desk.season_events import season_events
from lattermath.doors.asking import Units
from lattermath.sheets.chart import Chart
from lattermath.sheets.plot_views import plot_page
from lattermath.sheets.season_charts import season_charts
from lattermath.sheets.season_views import season_page
from lattermath.vocabulary.plan import Plan


def plot_of(folder: Path, day: date, plan: Plan | None, units: Units) -> dict[str, Any]:
    """Drawing and tables of the plot as of a day."""
    ground, asks = plot_and_ground(folder, day)
    return plot_page(plan, ground, asks, units)


def charts_of(folder: Path, plan: Plan | None, units: Units) -> list[Chart]:
    """The season's charts; none where there is no plan."""
    if plan is None:
        return []
    return season_charts(plan, season_events(folder, plan.as_of.date()), units)


def pictures_of(folder: Path, plan: Plan, units: Units) -> dict[str, Any]:
    """`drawing` of the plot, None where nothing has a place, and `charts` as a page shows them."""
    drawing = plot_of(folder, plan.as_of.date(), plan, units)["drawing"]
    return {"drawing": drawing, "charts": season_page(charts_of(folder, plan, units))}
