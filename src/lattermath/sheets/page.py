"""The sheet as one self-contained HTML page: front and back of one leaf, day and dusk."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.sheets.back import Block, Table, back
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.figures import Units
from lattermath.sheets.front import Front, Section, front
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary import calendar
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plan import Plan, SeasonRule

DEGREE = "°"
# Lines of the text sheet above which the print shrinks; printed and looked at, A4 and Letter.
FULL_LINES, BRIMFUL_LINES, BACK_FULL_LINES = 34, 43, 140
_HEADING_LEAST = 20  # letters; a shorter lead is a name, not yet a task
# Where on a telephone the label of today meets those of the ends. [% of the width]
_FIRST_ENDS, _FROST_BEGINS, _NEAR_EDGE = 25, 25, 90
_ROW, _LOWER_ROW = 13, 30
_STALK_HEIGHT = 28.0  # of a drawing 30 high


def html_sheet(plan: Plan, plot_name: str, units: Units = "metric") -> str:
    """The sheet for the first visit as HTML that needs no network, no script and no other file.

    Raises InputError where the web extra is not installed.
    """
    template = _environment().get_template("sheet.html")
    return str(
        template.render(
            w=w,
            plot=plot_name,
            front=_shown(front(plan, plot_name, units, DEGREE)),
            blocks=[_block(block) for block in back(plan, units, DEGREE)],
            season=_season(plan.season) if plan.season else None,
            look=_template_text("look.css"),
            fullness=_fullness(plan, plot_name, units),
            back_full=text_back(plan, plot_name, units).count("\n") > BACK_FULL_LINES,
        )
    )


def _fullness(plan: Plan, plot_name: str, units: Units) -> str:
    """How small the print must be for the front to stay one side: the class of the page."""
    lines = text_sheet(plan, plot_name, units).count("\n")
    return "brimful" if lines > BRIMFUL_LINES else "full" if lines > FULL_LINES else ""


def _environment() -> Any:
    try:
        import jinja2
    except ImportError as missing:
        raise InputError(
            Fault(w.NO_JINJA, "lattermath plan --html", "", w.NO_JINJA_REMEDY)
        ) from missing
    return jinja2.Environment(
        loader=jinja2.DictLoader({"sheet.html": _template_text("sheet.html")}),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )


def _template_text(name: str) -> str:
    return (files("lattermath.sheets") / "templates" / name).read_text(encoding="utf-8")


def _shown(held: Front | None) -> dict[str, Any] | None:
    """The front as the template takes it: hours and days in words, heads in sentence case."""
    if held is None:
        return None
    return {
        "title": figures.long_day(held.day),
        "day": calendar.said(held.day),
        "held": held,
        "work": w.WORK_FROM.format(minutes=held.minutes, hour=held.arrive),
        "sections": [_section(section) for section in held.sections],
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "head": f"{section.head}, {section.note}" if section.note else section.head,
        "hours": section.hours,
        "rows": [(row, *_parted(row.says)) for row in section.rows],
        "bars": section.bars,
        "cautions": section.cautions,
    }


def _parted(says: str) -> tuple[str, str]:
    """A task's first clause, which stands as its heading, and the rest of its words."""
    lead, found, rest = says.partition(": ")
    if found and len(lead) >= _HEADING_LEAST:
        return f"{lead}:", rest
    lead, found, rest = says.partition(". ")
    return lead + found.rstrip(), rest


def _block(block: Block) -> dict[str, Any]:
    return {
        "head": block.head,
        "says": block.says,
        "tables": [_table(table) for table in block.tables],
        "caution": block.head == w.CAUTIONS,
        "quiet": block.quiet,
    }


def _table(table: Table) -> dict[str, Any]:
    rows = [
        {"head": row[0].strip(), "cells": row[1:], "second": row[0].startswith(" ")}
        for row in table.rows
    ]
    return {"caption": table.caption, "heads": table.heads, "rows": rows}


def _season(rule: SeasonRule) -> dict[str, Any]:
    """The season rule as a path: cut stalks are short, standing ones as high as their warmth."""
    days = len(rule.heights)
    cut = max((rule.today - rule.first).days, 0)
    strokes = []
    for place, height in enumerate(rule.heights):
        top = 25.0 if place < cut else 30.0 - max(1.2, _STALK_HEIGHT * min(max(height, 0.0), 1.0))
        strokes.append(f"M{place + 0.5} 30V{top:.1f}")
    last = rule.first.toordinal() + days - 1
    return {
        "path": "".join(strokes),
        "days": days,
        "says": w.SEASON.format(
            first=calendar.short(rule.first),
            last=calendar.short(rule.first.fromordinal(last)),
            cut=cut,
            left=max(days - cut, 0),
        ),
        "first": calendar.short(rule.first),
        **_labels(100 * cut / days, bool(rule.frost)),
        "frost": w.SEASON_FROST.format(day=calendar.short(rule.frost)) if rule.frost else "",
    }


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
