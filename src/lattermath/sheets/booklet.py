"""A paper of several pages to be read: a head, sections of dated lines, tables, a foot."""

from __future__ import annotations

import base64
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
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
    photos: tuple[tuple[str, str], ...] = ()  # what it is, and the name of its file


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


def booklet_pdf(made: Booklet, paper: Paper, photos: Path | None = None) -> bytes:
    """The booklet as a tagged PDF, black on white; same booklet, same bytes.

    photos : folder of the photos, where the booklet names any.

    Raises InputError where the print extra is not installed, and for a letter without a shape.
    """
    root = {"root": str(photos)} if photos is not None and photos.is_dir() else {}
    return bytes(typeset(_SHEET, _told(made, paper), **as_pdf(made.when), **root))


def booklet_page(made: Booklet, paper: Paper, photos: Path | None = None) -> str:
    """The booklet as one HTML page that needs no network, no script and no other file.

    photos : folder of the photos, which the page then holds in itself.

    Raises InputError where the web extra is not installed.
    """
    look = template_text("look.css") + template_text("booklet.css")

    def inside(name: str) -> str:
        assert photos is not None
        return "data:image/jpeg;base64," + base64.b64encode((photos / name).read_bytes()).decode()

    return render("booklet.html", made=made, look=look, paper=paper, source=inside)


def _told(made: Booklet, paper: Paper) -> dict[str, Any]:
    region = "GB" if paper == "a4" else "US"
    return asdict(made) | {"when": "", "paper": PAPERS[paper], "region": region}
