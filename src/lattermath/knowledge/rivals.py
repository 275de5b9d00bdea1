"""Rival figures stand side by side in a row; one is the default, with its reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from lattermath.knowledge.rows import Row
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Rival:
    """One choice among rival figures; `takes` maps a column set to the one it is taken from."""

    table: str
    row: str
    name: str
    takes: Mapping[str, str]
    default: bool = False
    reason: str = ""


def read_rivals(raw: Sequence[Mapping[str, Any]]) -> tuple[Rival, ...]:
    """Rivals from plain data; TableError where a default has no reason or a row has no default."""
    rivals = tuple(Rival(**entry) for entry in raw)
    for rival in rivals:
        where = f"rivals/{rival.table}/{rival.row}/{rival.name}"
        group = [r for r in rivals if (r.table, r.row) == (rival.table, rival.row)]
        if sum(r.default for r in group) != 1:
            raise TableError(Fault("exactly one rival of a row is the default", where))
        if rival.default and not rival.reason:
            raise TableError(Fault("a default needs its reason", where, "", "Say why it is used."))
    return rivals


def take(row: Row, takes: Mapping[str, str], reason: str) -> Row:
    """The row with other figures as default; the former stand beside as `<column>.standard`."""
    figures = dict(row.figures)
    for column, origin in takes.items():
        figures.update(_placed(figures, column, row.figure(origin), reason))
    return replace(row, figures=figures)


def place(row: Row, column: str, figure: Figure, reason: str) -> Row:
    """The row with a figure from outside as default of a column; the former stands beside it."""
    figures = dict(row.figures)
    figures.update(_placed(figures, column, figure, reason))
    return replace(row, figures=figures)


def _placed(
    figures: Mapping[str, Figure], column: str, figure: Figure, reason: str
) -> dict[str, Figure]:
    note = "; ".join(part for part in (f"default because {reason}", figure.origin.note) if part)
    placed = {column: replace(figure, origin=replace(figure.origin, note=note))}
    if column in figures and f"{column}.standard" not in figures:
        placed[f"{column}.standard"] = figures[column]
    return placed
