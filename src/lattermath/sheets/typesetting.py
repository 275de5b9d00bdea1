"""Has templates typeset into PDF: same words, same bytes, on every machine (decision 0015)."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import datetime
from importlib.resources import files
from typing import Any, Literal

from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.vocabulary.errors import Fault, InputError

Paper = Literal["a4", "letter"]
PAPERS = {"a4": "a4", "letter": "us-letter"}  # as the typesetter names them
_NO_SHAPE = re.compile(r'the text `"(.+?)"` could not be displayed')  # the typesetter's words
_STANDARD = "ua-1"  # tagged for screen readers; a letter the typesetter has no shape for breaks it


@dataclass(frozen=True, slots=True)
class Sheet:
    """A template, the command that asked for it, and what to do about a letter without shape."""

    template: str
    where: str
    no_shape_remedy: str


def paper_for(units: Units, paper: Paper | None) -> Paper:
    """The paper that was named, or A4 where units are metric and US Letter where they are not."""
    return paper or ("a4" if units == "metric" else "letter")


def as_pdf(when: datetime) -> dict[str, Any]:
    """How a PDF is asked for: tagged, and stamped with the hour of the plan and no other."""
    return {"format": "pdf", "pdf_standards": _STANDARD, "timestamp": int(when.timestamp())}


def typeset(sheet: Sheet, told: dict[str, Any], **asked: Any) -> Any:
    """The template filled with what is told, in the form asked for.

    Raises InputError where the print extra is not installed, and for a letter that neither
    our typeface nor those inside the typesetter hold.
    """
    typesetter = _typesetter(sheet)
    try:
        return typesetter.compile(
            (files("lattermath.sheets") / "templates" / sheet.template).read_bytes(),
            ignore_system_fonts=True,  # so that every machine makes the same bytes
            font_paths=[str(files("lattermath.sheets") / "fonts")],
            sys_inputs={"told": json.dumps(told, ensure_ascii=False)},
            **asked,
        )
    except typesetter.TypstError as refused:
        found = _NO_SHAPE.search(str(refused))
        if found is None:
            raise
        fault = Fault(w.NO_SHAPE, sheet.where, found[1], sheet.no_shape_remedy)
        raise InputError(fault) from refused


def _typesetter(sheet: Sheet) -> Any:
    try:
        import typst
    except ImportError as missing:
        raise InputError(Fault(w.NO_TYPST, sheet.where, "", w.NO_TYPST_REMEDY)) from missing
    return typst
