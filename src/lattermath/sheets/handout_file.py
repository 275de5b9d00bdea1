"""Pages that are given away or hung up, as a PDF for the printer or as a page for the browser."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lattermath.sheets import handout_words as h
from lattermath.sheets.handouts import Handout
from lattermath.sheets.templating import render, template_text
from lattermath.sheets.typesetting import PAPERS, Paper, Sheet, as_pdf, typeset

_SHEET = Sheet("handout.typ", h.WHERE, h.NO_SHAPE_REMEDY)


def handout_pdf(made: Handout, paper: Paper) -> bytes:
    """The handout as a tagged PDF, black on white; same plan, same bytes.

    Raises InputError where the print extra is not installed, and for a letter without a shape.
    """
    return bytes(_typeset(made, paper, **as_pdf(made.when)))


def handout_page(made: Handout, paper: Paper) -> str:
    """The handout as one HTML page that needs no network, no script and no other file.

    Raises InputError where the web extra is not installed.
    """
    look = template_text("look.css") + template_text("handout.css")
    return render("handout.html", made=made, look=look, paper=paper)


def _typeset(made: Handout, paper: Paper, **asked: Any) -> Any:
    told = asdict(made) | {"when": "", "paper": PAPERS[paper]}
    return typeset(_SHEET, told | {"region": "GB" if paper == "a4" else "US"}, **asked)
