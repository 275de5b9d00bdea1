"""The season's charts as their page shows them: drawing, words, the numbers behind."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets.chart import STEP_DAYS, Chart, Panel, day_rows, number_rows
from lattermath.sheets.chart_drawing import svg
from lattermath.vocabulary import calendar


def season_page(charts: Iterable[Chart]) -> list[dict[str, Any]]:
    """Each chart with its drawing, the list of what its numbers stand for, and its tables."""
    return [
        {
            "key": chart.key,
            "title": chart.title,
            "note": chart.note,
            "says": chart.says,
            "svg": svg(chart),
            "marked": [(u.label, u.says) for u in chart.uprights if u.sign in ("done", "planned")],
            "tables": [table for panel in chart.panels for table in _tables(panel)],
            "weekly": any(
                len(course.days) > STEP_DAYS for panel in chart.panels for course in panel.courses
            ),
        }
        for chart in charts
    ]


def _tables(panel: Panel) -> Iterable[dict[str, Any]]:
    """The numbers of a panel, and what holds on which days; none where it has neither."""
    numbers = list(number_rows(panel))
    if numbers:
        rows = [[_day(row[2]), _day(row[3]), *map(_number, row[4:])] for row in numbers]
        caption = ", ".join(part for part in (panel.name, panel.unit) if part)
        yield {"caption": caption, "heads": p.NUMBER_HEADS, "rows": rows, "numbers": True}
    days = list(day_rows(panel))
    if days:
        told = [[row[1], _day(row[2]), _day(row[3])] for row in days]
        yield {"caption": panel.name, "heads": p.DAY_HEADS, "rows": told, "numbers": False}


def _day(iso: str) -> str:
    return calendar.said(date.fromisoformat(iso))


def _number(text: str) -> str:
    return figures.coarse(float(text)) if text else ""
