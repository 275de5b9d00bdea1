"""The sheet as one self-contained HTML page: front and back of one leaf, day and dusk."""

from __future__ import annotations

from typing import Any

from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.figures import Units
from lattermath.sheets.leaf import SEASON_HEIGHT, leaf
from lattermath.sheets.templating import render, template_text
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.plan import Plan

# Lines of the text sheet above which the print shrinks; printed and looked at, A4 and Letter.
FULL_LINES, BRIMFUL_LINES, BACK_FULL_LINES = 34, 43, 140
# Where on a telephone the label of today meets those of the ends. [% of the width]
_FIRST_ENDS, _FROST_BEGINS, _NEAR_EDGE = 25, 25, 90
_ROW, _LOWER_ROW = 13, 30


def html_sheet(plan: Plan, plot_name: str, units: Units = "metric") -> str:
    """The sheet for the first visit as HTML that needs no network, no script and no other file.

    Raises InputError where the web extra is not installed.
    """
    told = leaf(plan, plot_name, units)
    return render(
        "sheet.html",
        **told,
        **season_drawing(told["season"]),
        look=template_text("look.css"),
        fullness=_fullness(plan, plot_name, units),
        back_full=text_back(plan, plot_name, units).count("\n") > BACK_FULL_LINES,
    )


def season_drawing(season: dict[str, Any] | None) -> dict[str, Any]:
    """The season rule as a template draws it: the stalks' path, and where its labels stand."""
    if season is None:
        return {"stalks": "", "labels": {}}
    cut = 100 * season["cut"] / season["days"]
    return {"stalks": _stalks(season), "labels": _labels(cut, bool(season["frost"]))}


def _fullness(plan: Plan, plot_name: str, units: Units) -> str:
    """How small the print must be for the front to stay one side: the class of the page."""
    lines = text_sheet(plan, plot_name, units).count("\n")
    return "brimful" if lines > BRIMFUL_LINES else "full" if lines > FULL_LINES else ""


def _stalks(season: dict[str, Any]) -> str:
    """The stalks of the season rule as the path of a drawing, one day wide each."""
    return "".join(
        f"M{place + 0.5} 30V{SEASON_HEIGHT - height:.1f}"
        for place, height in enumerate(season["stalks"])
    )


def _labels(today: float, frost: bool) -> dict[str, Any]:
    """Where the labels below the season rule stand: beside today's while there is room, else lower.

    today : share of the season that is cut. [%]
    """
    first_row = _LOWER_ROW if today < _FIRST_ENDS else _ROW
    frost_row = _LOWER_ROW if frost and today > _FROST_BEGINS else _ROW
    return {
        "today": f"{today:.0f}%",
        "anchor": "end" if today > _NEAR_EDGE else "" if today < 100 - _NEAR_EDGE else "mid",
        "first_row": first_row,
        "frost_row": frost_row,
        "tall": max(first_row, frost_row) + 4,
    }
