"""Reads one table cell into a Figure or a Text. Every loader goes through here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lattermath.knowledge.columns import Column, Columns
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure, Provenance

FIGURE_KEYS = {"v", "lo", "hi", "unit", "standing", "seen", "source", "locator", "note"}
TEXT_KEYS = {"text", "standing", "seen", "source", "locator", "note"}
MIDDLE_OURS = "middle ours (derived)"  # begins the note where the source gives only low and high


@dataclass(frozen=True, slots=True)
class Text:
    """Sourced words: a position, a stage name, a remark."""

    value: str
    origin: Provenance
    address: str = ""


def read_figure(
    cell: Mapping[str, Any], table: str, row: str, column: str, kind: Column, known: set[str]
) -> Figure:
    """One number with its spread, unit and origin; TableError names everything wrong with it.

    A missing `lo` or `hi` stays None: the source states no spread, which is never exactness.
    """
    where = f"{table}/{row}/{column}"
    _refuse_keys(cell, FIGURE_KEYS, where)
    value, low, high = (_number(cell, key, where) for key in ("v", "lo", "hi"))
    if value is None:
        raise TableError(Fault("the cell has no value", where, "", "Give it `v`, or `text`."))
    if cell.get("unit") != kind.unit:
        remedy = f"This column is in [{kind.unit}]; convert the value and say so."
        raise TableError(Fault("wrong unit", where, f"[{cell.get('unit')}]", remedy))
    if (low is not None and low > value) or (high is not None and high < value):
        raise TableError(
            Fault("the value lies outside its own range", where, f"{value} in {low}..{high}",
                  "Put `v` between `lo` and `hi`.")
        )  # fmt: skip
    for number in (value, low, high):
        if number is not None and not kind.least <= number <= kind.greatest:
            limits = f"{kind.least:g}..{kind.greatest:g} {kind.unit}"
            raise TableError(
                Fault("beyond what this column can mean", where, f"{number:g}",
                      f"Columns of this kind hold {limits}.")
            )  # fmt: skip
    return Figure(value, low, high, kind.unit, read_origin(cell, where, known), where)


def read_text(
    cell: Mapping[str, Any],
    table: str,
    row: str,
    column: str,
    words: tuple[str, ...],
    known: set[str],
) -> Text:
    """Sourced words; TableError when they are not among the words the column allows."""
    where = f"{table}/{row}/{column}"
    _refuse_keys(cell, TEXT_KEYS, where)
    value = cell["text"]
    if not isinstance(value, str) or not value.strip():
        raise TableError(Fault("words are wanted here", where, repr(value), "Give a string."))
    if words and value not in words:
        raise TableError(
            Fault("not one of this column's words", where, value, f"One of: {', '.join(words)}.")
        )
    return Text(value, read_origin(cell, where, known), where)


def read_cell(
    cell: object, columns: Columns, row: str, column: str, known: set[str]
) -> Figure | Text:
    """One cell of any column of a table; `known` holds the source keys that exist."""
    where = f"{columns.table}/{row}/{column}"
    if not isinstance(cell, Mapping):
        raise TableError(
            Fault("a bare value has no provenance", where, repr(cell),
                  "Write { v = ..., unit = ..., standing = ..., seen = ..., source = ... }.")
        )  # fmt: skip
    if "text" in cell:
        words = columns.words(column)
        if words is not None:
            return read_text(cell, columns.table, row, column, words, known)
    else:
        kind = columns.figure(column)
        if kind is not None:
            return read_figure(cell, columns.table, row, column, kind, known)
    raise TableError(
        Fault("unknown column", where, column, "Columns are listed in knowledge/columns.toml.")
    )


def read_origin(cell: Mapping[str, Any], where: str, known: set[str]) -> Provenance:
    """The origin of a cell; TableError when absent, dangling, or claiming more than was seen."""
    if "standing" not in cell:
        raise TableError(
            Fault("no provenance", where, "", "Give `standing` (and `seen`, `source`) to the cell.")
        )
    source = cell.get("source", "")
    if source and source not in known:
        raise TableError(
            Fault("no such source", where, str(source), "Add it to sources.toml, or mend the key.")
        )
    parts = {key: cell[key] for key in ("standing", "seen", "source", "locator", "note")
             if key in cell}  # fmt: skip
    try:
        return Provenance(**parts)
    except ValueError as fault:
        raise TableError(
            Fault(str(fault), where, str(parts.get("standing")), "Say what was really seen.")
        ) from fault


def _refuse_keys(cell: Mapping[str, Any], allowed: set[str], where: str) -> None:
    if wrong := sorted(cell.keys() - allowed):
        raise TableError(
            Fault("unknown key in a cell", where, ", ".join(wrong),
                  f"Cells have {', '.join(sorted(allowed))}.")
        )  # fmt: skip


def _number(cell: Mapping[str, Any], key: str, where: str) -> float | None:
    value = cell.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        raise TableError(Fault(f"`{key}` is not a number", where, repr(value), "Give a number."))
    return float(value)
