"""Open-Meteo CSV: facts of the place, a blank line, then a table with units in its header.

Layout as recalled (place.md 12.3). An hourly and a daily table may follow each other.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from typing import Any

from lattermath.weather.days import WeatherFile
from lattermath.weather.forms.document import Document, Form
from lattermath.weather.forms.open_meteo import read_reply

_NAME = "open-meteo csv"
_HEADER = re.compile(r"\s*([a-z0-9_]+)\s*(?:\(([^)]*)\))?\s*")


def _recognises(document: Document) -> bool:
    head = document.text.lstrip().split("\n", 1)[0]
    return head.startswith("latitude,longitude") and "utc_offset_seconds" in head


def _read(document: Document) -> WeatherFile:
    tables = _tables(document)
    names, values = tables[0][0][1], tables[0][1][1] if len(tables[0]) > 1 else []
    if len(tables[0]) != 2 or len(names) != len(values):
        raise document.refusal(
            "one line of facts must follow their names", "line 2", remedy="Ask for one place."
        )
    reply: dict[str, Any] = {
        name: _fact(text) for name, text in zip(names, values, strict=True) if text
    }
    for table in tables[1:]:
        block, arrays, units = _block(document, table)
        reply[block], reply[block + "_units"] = arrays, units
    return read_reply(document, reply, _NAME)


def _tables(document: Document) -> list[list[tuple[int, list[str]]]]:
    """Tables parted by blank lines, each row with its line number."""
    tables: list[list[tuple[int, list[str]]]] = [[]]
    for line, row in enumerate(csv.reader(document.text.splitlines()), start=1):
        if any(cell.strip() for cell in row):
            tables[-1].append((line, [cell.strip() for cell in row]))
        elif tables[-1]:
            tables.append([])
    return [table for table in tables if table]


def _fact(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _block(
    document: Document, table: Sequence[tuple[int, list[str]]]
) -> tuple[str, dict[str, list[Any]], dict[str, str]]:
    """The name, arrays and units of one table."""
    heads = [_HEADER.fullmatch(cell) for cell in table[0][1]]
    if not heads or heads[0] is None or heads[0][1] != "time":
        where = f"line {table[0][0]}"
        raise document.refusal("this is no header of a table", where, ",".join(table[0][1]))
    arrays: dict[str, list[Any]] = {head[1]: [] for head in heads if head}
    for line, row in table[1:]:
        if len(row) != len(heads):
            raise document.refusal("the row has not as many cells as the header", f"line {line}")
        for head, cell in zip(heads, row, strict=True):
            if head is not None:
                value = cell if head[1] == "time" else _number(document, line, head[1], cell)
                arrays[head[1]].append(value)
    hourly = any("T" in str(stamp) for stamp in arrays["time"])
    units = {head[1]: head[2] for head in heads if head and head[2] is not None}
    return ("hourly" if hourly else "daily"), arrays, units


def _number(document: Document, line: int, name: str, text: str) -> float | None:
    if text in ("", "NaN", "nan"):
        return None
    try:
        return float(text)
    except ValueError as fault:
        raise document.refusal("this is no number", f"line {line}, {name}", text) from fault


OPEN_METEO_CSV = Form(_NAME, _recognises, _read)
