"""Front and back of one leaf as plain data, as the templates of page and paper take it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.sheets.back import Block, Table, back
from lattermath.sheets.figures import DEGREE, Units
from lattermath.sheets.front import Front, Section, front
from lattermath.vocabulary import calendar
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import Plan, SeasonRule

SEASON_HEIGHT = 30.0  # of the drawing of stalks
_STALK_HEIGHT = 28.0
_CUT_HEIGHT = 5.0
_HEADING_LEAST = 20  # letters; a shorter lead is a name, not yet a task


def leaf(plan: Plan, plot_name: str, units: Units) -> dict[str, Any]:
    """The sheet for the first visit as text, lists and dicts; `front` is None without a visit.

    plot, front, blocks (of the back), season (None where the plan has no season rule).
    """
    return {
        "plot": plot_name,
        "front": _shown(front(plan, plot_name, units, DEGREE)),
        "blocks": [_block(block) for block in back(plan, units, DEGREE)],
        "season": _season(plan.season) if plan.season else None,
    }


def _shown(held: Front | None) -> dict[str, Any] | None:
    """The front as the template takes it: hours and days in words, heads in sentence case."""
    if held is None:
        return None
    return {
        "title": figures.long_day(held.day),
        "day": calendar.said(held.day),
        "held": {**asdict(held), "day": held.day.isoformat(), "sections": ()},
        "work": w.WORK_FROM.format(minutes=counted(held.minutes, "minutes"), hour=held.arrive),
        "sections": [_section(section) for section in held.sections],
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "head": f"{section.head}, {section.note}" if section.note else section.head,
        "hours": section.hours,
        "rows": [(asdict(row), *_parted(row.says)) for row in section.rows],
        "bars": [asdict(bar) for bar in section.bars],
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
    """The season rule as stalks: cut ones are short, standing ones as high as their warmth."""
    days = len(rule.heights)
    cut = max((rule.today - rule.first).days, 0)
    stalks = [
        _CUT_HEIGHT if place < cut else max(1.2, _STALK_HEIGHT * min(max(height, 0.0), 1.0))
        for place, height in enumerate(rule.heights)
    ]
    last = rule.first.toordinal() + days - 1
    frost_on = (rule.frost - rule.first).days if rule.frost else None
    return {
        "stalks": stalks,
        "days": days,
        "cut": cut,
        "says": w.SEASON.format(
            first=calendar.short(rule.first),
            last=calendar.short(rule.first.fromordinal(last)),
            cut=cut,
            left=max(days - cut, 0),
        ),
        "first": calendar.short(rule.first),
        "today": f"{100 * cut / days:.0f}%",
        "frost": w.SEASON_FROST.format(day=calendar.short(rule.frost)) if rule.frost else "",
        "frost_on": frost_on,
    }
