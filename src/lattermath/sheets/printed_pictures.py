"""The plot to scale and the season's charts for the printer, with a bar that checks the scale."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from lattermath.sheets import page_words as p
from lattermath.sheets import picture_words as w
from lattermath.sheets.chart import Chart, in_parts
from lattermath.sheets.chart_drawing import svg
from lattermath.sheets.figures import listed
from lattermath.sheets.plot_drawing import plot_svg, swatch_svg, way_swatch_svg
from lattermath.sheets.typesetting import PAPERS, Paper, Sheet, as_pdf, typeset

MOST_PANELS = 7  # of a chart in one piece: a column of the smaller paper holds no more
_SHEET = Sheet("pictures.typ", w.WHERE, w.NO_SHAPE_REMEDY)
# The colours of the screen, and what they are on paper: black on white.
_ON_PAPER = {"#f3ecc9": "#ffffff", "#13202e": "#000000", "#8b8462": "#767676"}


def plot_pdf(name: str, held: Mapping[str, Any], when: datetime, paper: Paper) -> bytes:
    """The plot to scale as a tagged PDF, at the scale it names; same plan, same bytes.

    held : as `plot_page` gives it.

    Raises InputError where the print extra is not installed, and for a letter without a shape.
    """
    return bytes(typeset(_SHEET, plot_told(name, held, paper), **as_pdf(when)))


def season_pdf(name: str, charts: Iterable[Chart], when: datetime, paper: Paper) -> bytes:
    """The season's charts as a tagged PDF, two beside each other; raises as `plot_pdf` does."""
    told = _told(w.SEASON.format(plot=name), p.SEASON_LEAD, paper)
    told["charts"] = [
        {
            "title": chart.title,
            "drawings": [
                {"svg": _black(svg(part, alone=True)), "alt": chart.outcome}
                for part in in_parts(chart, MOST_PANELS)
            ],
            "says": list(chart.says),
            "note": chart.note,
            "marked": [
                f"{u.label} {u.says}" for u in chart.uprights if u.sign in ("done", "planned")
            ],
        }
        for chart in charts
    ]
    return bytes(typeset(_SHEET, told, **as_pdf(when)))


def plot_told(name: str, held: Mapping[str, Any], paper: Paper) -> dict[str, Any]:
    """Everything the template sets for the plot."""
    drawing = held["drawing"]
    lead = p.PLOT_STATE.format(when=held["as_of"]) if held["as_of"] else ""
    told = _told(w.PLOT.format(plot=name), lead, paper)
    if drawing is not None:
        told["plan"] = _plan(drawing)
        laid, says = held["laid"], p.LAID_ALONE if len(held["laid"]) == 1 else p.LAID_IN_A_ROW
        told["plan"]["laid"] = says.format(names=listed(laid)) if laid else ""
    told["table"] = {
        "heads": [p.WHERE_HEAD, p.STANDS_HEAD, p.STATE_HEAD],
        "rows": [[f"{r['number']}", r["where"], r["what"], r["says"]] for r in held["places"]],
    }
    return told


def _told(title: str, lead: str, paper: Paper) -> dict[str, Any]:
    return {
        "title": title,
        "lead": lead,
        "paper": PAPERS[paper],
        "region": "GB" if paper == "a4" else "US",
        "plan": None,
        "table": None,
        "charts": [],
        "bar": w.BAR,
        "no_plan": p.NO_PLAN_DRAWN,
    }


def _plan(drawing: Mapping[str, Any]) -> dict[str, Any]:
    legend = [(_black(swatch_svg(one, alone=True)), one["says"]) for one in drawing["legend"]]
    legend += [
        (_black(way_swatch_svg(one["stroke"], alone=True)), p.MAY_GO.format(name=one["name"]))
        for one in drawing["ways_legend"]
    ]
    return {
        "svg": _black(plot_svg(drawing, alone=True)),
        "width": drawing["paper_width"].removesuffix("mm"),
        "alt": p.PLOT_TITLE.format(size=drawing["size"]) + ". " + p.PLOT_IN_WORDS,
        "legend": legend,
        "numbered": p.BY_NUMBER.format(names=drawing["numbered"]) if drawing["numbered"] else "",
        "note": f"{w.SCALE.format(scale=drawing['on_paper'])} {p.SHARED_BED}",
    }


def _black(drawn: str) -> str:
    for screen, ink in _ON_PAPER.items():
        drawn = drawn.replace(screen, ink)
    return drawn
