"""The sheet as a PDF for the printer: front and back of one leaf, black on white, tagged."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from typing import Any, Literal

from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.sheets.leaf import SEASON_HEIGHT, leaf
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plan import Plan

Paper = Literal["a4", "letter"]

_WHERE = "lattermath plan --pdf"
_NO_SHAPE = re.compile(r'the text `"(.+?)"` could not be displayed')  # the typesetter's words
_PAPERS = {"a4": "a4", "letter": "us-letter"}  # as the typesetter names them
_MINUTES = "%"  # where the template puts the minutes of a task
_STANDARD = "ua-1"  # tagged for screen readers; a letter the typesetter has no shape for breaks it


def pdf_sheet(
    plan: Plan, plot_name: str, units: Units = "metric", paper: Paper | None = None
) -> bytes:
    """The sheet for the first visit as a PDF; same plan, same bytes.

    paper : A4 where units are metric, US Letter where they are not, unless it is named.

    The front is one page and the back another, in type as large as lets them; a back that is too
    long even in the smallest goes on overleaf. Words of the grower reach the typesetter as data.

    Raises InputError where the print extra is not installed, and for a letter that the typefaces
    inside the typesetter do not hold.
    """
    told = _told(plan, plot_name, units, paper or ("a4" if units == "metric" else "letter"))
    asked = {"pdf_standards": _STANDARD, "timestamp": int(plan.as_of.timestamp())}
    return bytes(_typeset(told, format="pdf", **asked))


def _typeset(told: dict[str, Any], **asked: Any) -> Any:
    """The template filled with what is told, in the form asked for."""
    typesetter = _typesetter()
    try:
        return typesetter.compile(
            (files("lattermath.sheets") / "templates" / "sheet.typ").read_bytes(),
            ignore_system_fonts=True,  # so that every machine makes the same bytes
            sys_inputs={"told": json.dumps(told, ensure_ascii=False)},
            **asked,
        )
    except typesetter.TypstError as refused:
        found = _NO_SHAPE.search(str(refused))
        if found is None:
            raise
        fault = Fault(w.NO_SHAPE, _WHERE, found[1], w.NO_SHAPE_REMEDY)
        raise InputError(fault) from refused


def _typesetter() -> Any:
    try:
        import typst
    except ImportError as missing:
        raise InputError(Fault(w.NO_TYPST, _WHERE, "", w.NO_TYPST_REMEDY)) from missing
    return typst


def _told(plan: Plan, plot_name: str, units: Units, paper: Paper) -> dict[str, Any]:
    """Everything the template sets: the leaf, its words, its paper."""
    told = leaf(plan, plot_name, units)
    front = told["front"]
    day = f", {front['day']}" if front else ""
    return {
        **told,
        "title": f"{plot_name}{day}",
        "region": "GB" if units == "metric" else "US",
        "paper": _PAPERS[paper],
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
        "also_seen": w.ALSO_SEEN,
        "nothing": w.NOTHING_TO_DO,
        "no_visit": w.NO_VISIT,
        "today": w.SEASON_TODAY,
        "back": w.BACK_OF_LEAF,
        "minutes": w.MINUTES.format(minutes=_MINUTES),
        "sunset": w.SUNSET_SENTENCE.format(hour=sunset),
    }
