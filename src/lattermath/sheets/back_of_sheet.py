"""The back of the sheet as plain text: reasons, verdicts, populations, outlook, stamp."""

from __future__ import annotations

from collections.abc import Iterable

from lattermath.sheets.back import Block, Table, back
from lattermath.sheets.figures import Units
from lattermath.sheets.visit_sheet import INDENT, hung
from lattermath.vocabulary import calendar
from lattermath.vocabulary.plan import Plan

_LEAST_FIRST = 16  # a row head is never squeezed below this
_LEAST_COLUMNS = 3


def text_back(plan: Plan, plot_name: str, units: Units = "metric", width: int = 78) -> str:
    """The back of the sheet for the first visit of a plan, no line longer than `width` columns."""
    day = f"    {calendar.said(plan.visits[0].date).upper()}" if plan.visits else ""
    lines = [f"{plot_name.upper()}{day}"]
    for block in back(plan, units):
        lines += ["", *_block(block, width)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def text_part(plan: Plan, head: str, units: Units = "metric", width: int = 78) -> str:
    """One part of the back by its head; empty where the plan has nothing for it."""
    lines = [
        line for block in back(plan, units) if block.head == head for line in _block(block, width)
    ]
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _block(block: Block, width: int) -> Iterable[str]:
    yield from hung(block.head.upper(), width, "", INDENT)
    for says in block.says:
        yield from hung(says, width, INDENT, INDENT * 2)
    for table in block.tables:
        if table.caption:
            yield from hung(table.caption, width, INDENT, INDENT)
        yield from table_lines(table, width)


def table_lines(table: Table, width: int) -> Iterable[str]:
    """A small table in columns; the row heads and a last column of words are broken to fit."""
    words_last = any(row[1][:1].isalpha() for row in table.rows)
    lines = [table.heads, *table.rows]
    if not words_last:
        lines = _that_fit(lines, width)
    columns = range(1, len(lines[0]) - (1 if words_last else 0))
    widths = [max(len(row[column]) for row in lines) + 2 for column in columns]
    longest = max(len(row[0]) for row in lines)
    spare = width - len(INDENT) - sum(widths)
    first = min(longest, max(spare // 2 if words_last else spare, _LEAST_FIRST))
    for row in lines:
        cells = "".join(
            row[column].ljust(wide) if words_last else row[column].rjust(wide)
            for column, wide in zip(columns, widths, strict=True)
        )
        yield from _row_lines(row, first, cells, spare - first if words_last else 0)


def _that_fit(lines: list[tuple[str, ...]], width: int) -> list[tuple[str, ...]]:
    """Numbers too wide for the sheet: every other column of figures is left out."""
    while len(lines[0]) > _LEAST_COLUMNS:
        widths = [max(len(row[column]) for row in lines) + 2 for column in range(1, len(lines[0]))]
        if len(INDENT) + _LEAST_FIRST + sum(widths) <= width:
            return lines
        lines = [(row[0], *row[1::2]) for row in lines]
    return lines


def _row_lines(row: tuple[str, ...], first: int, cells: str, last: int) -> Iterable[str]:
    lead = " " * (len(row[0]) - len(row[0].lstrip()))
    heads = hung(row[0].strip(), first, lead, lead + " ") if row[0].strip() else [""]
    ends = hung(row[-1], last - 2, "", "") if last else [""]
    for place in range(max(len(heads), len(ends))):
        head = heads[place] if place < len(heads) else ""
        end = ends[place] if place < len(ends) else ""
        middle = cells if place == 0 else " " * len(cells)
        gap = "  " if last else ""
        yield f"{INDENT}{head.ljust(first)}{gap}{middle}{end}".rstrip()
