"""A paper of several pages to be read: a head, sections of dated lines, tables, a foot."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any, Literal

from lattermath.sheets import account_words as a
from lattermath.sheets.templating import render, template_text
from lattermath.sheets.typesetting import PAPERS, Paper, Sheet, as_pdf, typeset

_SHEET = Sheet("booklet.typ", a.WHERE, a.NO_SHAPE_REMEDY)


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that happened. `under`: what belongs to it; `bars`: what was not kept."""

    when: str
    says: str
    under: tuple[str, ...] = ()
    bars: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A small table; its first column holds the heads of rows, its last one words."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One part. `lists`: a head and what stands below it; `bar`: the first list is a not."""

    head: str
    about: str = ""
    says: tuple[str, ...] = ()
    lists: tuple[tuple[str, tuple[str, ...], bool], ...] = ()  # head, items, barred
    table: Table | None = None
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Booklet:
    """One file."""

    kind: Literal["account", "record"]
    title: str
    lead: str
    when: datetime
    sections: tuple[Section, ...]
    foot: tuple[str, ...] = field(default=())


def booklet_pdf(made: Booklet, paper: Paper) -> bytes:
    """The booklet as a tagged PDF, black on white; same booklet, same bytes.

    Raises InputError where the print extra is not installed, and for a letter without a shape.
    """
    return bytes(typeset(_SHEET, _told(made, paper), **as_pdf(made.when)))


def booklet_page(made: Booklet, paper: Paper) -> str:
    """The booklet as one HTML page that needs no network, no script and no other file.

    Raises InputError where the web extra is not installed.
    """
    look = template_text("look.css") + template_text("booklet.css")
    return render("booklet.html", made=made, look=look, paper=paper)


def _told(made: Booklet, paper: Paper) -> dict[str, Any]:
    region = "GB" if paper == "a4" else "US"
    return asdict(made) | {"when": "", "paper": PAPERS[paper], "region": region}
