"""The season's charts as their page shows them: drawing, words, the numbers behind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets.chart import STEP_DAYS, Cells, Chart, Panel, day_rows, number_rows
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
            "tables": [*map(_numbers, filter(None, map(_rows, chart.panels))), *_days(chart)],
            "weekly": any(
                len(course.days) > STEP_DAYS for panel in chart.panels for course in panel.courses
            ),
        }
        for chart in charts
    ]


def _rows(panel: Panel) -> tuple[Panel, list[Cells]] | None:
    """The numbers of a panel; None where it has none."""
    rows = list(number_rows(panel))
    return (panel, rows) if rows else None


def _numbers(found: tuple[Panel, list[Cells]]) -> dict[str, Any]:
    """The numbers of one panel as a table."""
    panel, rows = found
    return {
        "caption": ", ".join(part for part in (panel.name, panel.unit) if part),
        "heads": p.NUMBER_HEADS,
        "rows": [[_when(row), *map(_number, row[4:])] for row in rows],
        "numbers": True,
    }


def _days(chart: Chart) -> Iterator[dict[str, Any]]:
    """What holds on which days, all panels in one table; nothing where nothing does."""
    rows = [[row[0], row[1], _when(row)] for panel in chart.panels for row in day_rows(panel)]
    if rows:
        yield {"caption": chart.title, "heads": p.DAY_HEADS, "rows": rows, "numbers": False}


def _when(row: Cells) -> str:
    """The day of a row, or its days from and to."""
    first, last = _day(row[2]), _day(row[3])
    return first if first == last else p.FROM_TO.format(first=first, last=last)


def _day(iso: str) -> str:
    return calendar.said(date.fromisoformat(iso))


def _number(text: str) -> str:
    return figures.coarse(float(text)) if text else ""
