"""One row of a table: its figures and texts by dotted column path, as in `emergence.dd`."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NoReturn

from lattermath.knowledge.cells import Text, read_cell
from lattermath.knowledge.columns import Columns
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure

EVERYWHERE, BOTH = "general", ("north_america", "europe")
ROW_KEYS = {"id", "hard", "cells"}


@dataclass(frozen=True, slots=True)
class Row:
    """One row, whole: every figure and text of the table, under its dotted path."""

    table: str
    id: str
    figures: Mapping[str, Figure]
    texts: Mapping[str, Text]
    hard: bool = False  # only rules: a hard rule is never changed by an overlay
    _below: dict[str, Mapping[str, Figure]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )  # asked for again and again

    def figure(self, column: str) -> Figure:
        """The figure of that column; TableError when the row has none."""
        found = self.figures.get(column)
        return self._absent(column, self.figures) if found is None else found

    def find(self, column: str) -> Figure | None:
        """The figure of that column, or None when the table lacks it."""
        return self.figures.get(column)

    def text(self, column: str) -> str:
        """The words of that column; TableError when the row has none."""
        found = self.texts.get(column)
        return self._absent(column, self.texts) if found is None else found.value

    def words(self, column: str, default: str = "") -> str:
        """The words of that column, or the default when the table lacks it."""
        found = self.texts.get(column)
        return default if found is None else found.value

    def regions(self, column: str) -> tuple[str, ...]:
        """The regions that column confines a living thing to; empty where to none."""
        found = self.words(column, EVERYWHERE)
        return BOTH if found == "both" else () if found == EVERYWHERE else (found,)

    def listed(self, column: str) -> tuple[str, ...]:
        """The words of a list column, in the order written; empty when the table lacks it."""
        found: list[str] = []
        while (text := self.texts.get(f"{column}[{len(found)}]")) is not None:
            found.append(text.value)
        return tuple(found)

    def under(self, prefix: str) -> Mapping[str, Figure]:
        """The figures below a dotted prefix, with the prefix taken off the keys."""
        found = self._below.get(prefix)
        if found is None:
            start, all_ = prefix + ".", self.figures.items()
            found = {k.removeprefix(start): f for k, f in all_ if k.startswith(start)}
            self._below[prefix] = found
        return found

    def numbered(self, column: str) -> int:
        """How many entries a list column has: `dev_days` counts dev_days[0], dev_days[1], ..."""
        start = f"{column}["
        seen = {p.split("]", 1)[0] for p in (*self.figures, *self.texts) if p.startswith(start)}
        return len(seen)

    def _absent(self, column: str, among: Mapping[str, object]) -> NoReturn:
        near = difflib.get_close_matches(column, among, n=1)
        remedy = f"Nearest is {near[0]}." if near else "This row has no such column."
        where = f"{self.table}/{self.id}/{column}"
        raise TableError(Fault("the table has no such figure", where, column, remedy))


@dataclass(frozen=True, slots=True)
class OfRow:
    """What every typed record of the tables is made of: its row, whole, and its key."""

    row: Row

    @property
    def id(self) -> str:
        """Key of the row."""
        return self.row.id


def read_rows(
    rows: Sequence[Mapping[str, Any]], columns: Columns, known: set[str]
) -> dict[str, Row]:
    """Rows from plain data; TableError with every fault found, to be mended at once."""
    table: dict[str, Row] = {}
    faults: list[Fault] = []
    for n, raw in enumerate(rows, start=1):
        try:
            row = read_row(raw, columns, known, f"{columns.table} row {n}")
            if row.id in table:
                raise TableError(
                    Fault("this row appears twice", f"{columns.table}/{row.id}", row.id,
                          "Keep one; rival figures stand side by side in one row.")
                )  # fmt: skip
            table[row.id] = row
        except TableError as error:
            faults.extend(error.faults)
    if faults:
        raise TableError(faults)
    return table


def read_row(raw: Mapping[str, Any], columns: Columns, known: set[str], where: str) -> Row:
    """One row from plain data; TableError with every fault found in it."""
    if wrong := sorted(raw.keys() - ROW_KEYS):
        raise TableError(Fault("unknown key in a row", where, ", ".join(wrong), "Use id, cells."))
    if not isinstance(raw.get("id"), str) or not isinstance(raw.get("cells"), Mapping):
        raise TableError(Fault("a row needs an id and cells", where, "", "Give it both."))
    figures: dict[str, Figure] = {}
    texts: dict[str, Text] = {}
    faults: list[Fault] = []
    for column, cell in raw["cells"].items():
        try:
            read = read_cell(cell, columns, raw["id"], column, known)
        except TableError as error:
            faults.extend(error.faults)
            continue
        if isinstance(read, Text):
            texts[column] = read
        else:
            figures[column] = read
    if faults:
        raise TableError(faults)
    return Row(columns.table, raw["id"], figures, texts, bool(raw.get("hard", False)))
