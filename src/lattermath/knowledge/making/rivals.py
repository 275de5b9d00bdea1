"""Finds the rival figures that stand side by side in a row, so that one can be made default."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

Cells = Mapping[str, Mapping[str, Any]]
LINES = (  # (base column, total column) of each kind of rival line
    ("published_regressions[{}].base", "published_regressions[{}].dd"),
    ("total_dd.alt[{}].base", "total_dd.alt[{}].dd"),
    ("lower_c.alt[{}]", "lower_c.alt[{}].dd"),
)
PEPPER = (
    "the handbook list and most summer plantings; 18.3 C would give almost no heat in a cool year"
)


@dataclass(frozen=True, slots=True)
class MadeRival:
    """One choice among rival figures of a row: the columns it sets and the columns it takes."""

    table: str
    row: str
    name: str
    takes: Mapping[str, str]
    default: bool
    reason: str = ""


def rivals_of(tables: Mapping[str, Mapping[str, Cells]]) -> list[MadeRival]:
    """Every rival of every row, after the default that the row itself carries."""
    found: list[MadeRival] = []
    for organism, cells in tables["organisms"].items():
        lines = _lines(organism, cells)
        if lines:
            reason = str(cells["total_dd"].get("note", "")) or "the line the row itself carries"
            found += [MadeRival("organisms", organism, "standard", {}, True, reason), *lines]
    for crop, cells in tables["crops"].items():
        if "t_base_c.rival" in cells:
            name = str(cells["t_base_c.rival"]["source"])
            takes = {"t_base_c": "t_base_c.rival"}
            found.append(MadeRival("crops", crop, "standard", {}, True, PEPPER))
            found.append(MadeRival("crops", crop, name, takes, False))
    return found


def _lines(organism: str, cells: Cells) -> list[MadeRival]:
    found: list[MadeRival] = []
    names: dict[str, int] = {}
    for base, total in LINES:
        n = 0
        while base.format(n) in cells:
            if total.format(n) in cells:
                source = str(cells[total.format(n)].get("source", "")) or "unnamed"
                names[source] = names.get(source, 0) + 1
                name = source if names[source] == 1 else f"{source}_{names[source]}"
                takes = {"lower_c": base.format(n), "total_dd": total.format(n)}
                found.append(MadeRival("organisms", organism, name, takes, False))
            n += 1
    return found
