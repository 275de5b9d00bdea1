"""The sheet as a PDF for the printer: front and back of one leaf, black on white, tagged."""

from __future__ import annotations

from typing import Any

from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.sheets.leaf import SEASON_HEIGHT, leaf
from lattermath.sheets.typesetting import PAPERS, Paper, Sheet, as_pdf, paper_for, typeset
from lattermath.vocabulary.plan import Plan

__all__ = ["Paper", "pdf_sheet"]

_WHERE = "lattermath plan --pdf"
_MINUTES = "%"  # where the template puts the minutes of a task


def pdf_sheet(
    plan: Plan,
    plot_name: str,
    units: Units = "metric",
    paper: Paper | None = None,
    mark: str = "",
) -> bytes:
    """The sheet for the first visit as a PDF; same plan, same bytes.

    mark  : under which the page for typing finds this very sheet again; "" where none is kept.
    paper : A4 where units are metric, US Letter where they are not, unless it is named.

    The front is one page and the back another, in type as large as lets them, and never below
    8 pt. A visit that is too long for that goes on overleaf and says so at its head; so does a
    back. Words of the grower reach the typesetter as data.

    Raises InputError where the print extra is not installed, and for a letter that the typefaces
    inside the typesetter do not hold.
    """
    told = _told(plan, plot_name, units, paper_for(units, paper), mark)
    return bytes(_typeset(told, **as_pdf(plan.as_of)))


def _typeset(told: dict[str, Any], **asked: Any) -> Any:
    """The template filled with what is told, in the form asked for."""
    return typeset(Sheet("sheet.typ", _WHERE, w.NO_SHAPE_REMEDY), told, **asked)


def _told(plan: Plan, plot_name: str, units: Units, paper: Paper, mark: str = "") -> dict[str, Any]:
    """Everything the template sets: the leaf, its words, its paper."""
    told = leaf(plan, plot_name, units)
    front = told["front"]
    day = f", {front['day']}" if front else ""
    return {
        **told,
        "title": f"{plot_name}{day}",
        "mark": w.SHEET_MARK.format(mark=mark) if mark else "",
        "type_up": w.TYPE_UP.format(mark=mark) if mark else "",
        "region": "GB" if units == "metric" else "US",
        "paper": PAPERS[paper],
        "season_height": SEASON_HEIGHT,
        "words": _words(front["held"]["sunset"] if front else ""),
    }


def _words(sunset: str) -> dict[str, str]:
    """The words of the sheet's own that stand on paper."""
    return {
        "short": w.SHORT,
        "bag": w.BAG,
        "for_each": w.FOR_EACH,
        "not": w.NOT,
        "not_today": w.NOT_TODAY,
        "decided": w.DECIDED,
        "next": w.NEXT,
        "water_left": w.WATER_LEFT,
        "turn_over": w.TURN_OVER,
        "two_pages": w.TWO_PAGES,
        "why_after": w.WHY_AFTER,
        "also_seen": w.ALSO_SEEN,
        "nothing": w.NOTHING_TO_DO,
        "no_visit": w.NO_VISIT,
        "today": w.SEASON_TODAY,
        "back": w.BACK_OF_LEAF,
        "minutes": w.MINUTES.format(minutes=_MINUTES),
        "sunset": w.SUNSET_SENTENCE.format(hour=sunset),
    }
