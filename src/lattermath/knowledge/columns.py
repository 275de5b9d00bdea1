"""The columns a table may have, with their units and limits: read from columns.toml."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, slots=True)
class Column:
    """What one figure column holds: its unit and the least and greatest value that can be meant."""

    unit: str
    least: float
    greatest: float


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of one table; patterns are tried in the order written."""

    table: str
    figures: tuple[tuple[re.Pattern[str], Column], ...]
    texts: tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]  # empty tuple: any words

    def figure(self, path: str) -> Column | None:
        """What a figure column holds; None when the table has no such column."""
        column = without_positions(path)
        return next((kind for pattern, kind in self.figures if pattern.fullmatch(column)), None)

    def words(self, path: str) -> tuple[str, ...] | None:
        """The words a text column allows, empty for any; None when there is no such column."""
        column = without_positions(path)
        return next((words for pattern, words in self.texts if pattern.fullmatch(column)), None)


def without_positions(path: str) -> str:
    """A path with its list positions taken out: `dev_days[3].d` gives `dev_days[].d`."""
    return re.sub(r"\[\d+\]", "[]", path)


@cache
def columns() -> Mapping[str, Columns]:
    """The columns of every table, by table name."""
    text = (files("lattermath.knowledge") / "columns.toml").read_text("utf-8")
    return read_columns(tomllib.loads(text))


def read_columns(raw: Mapping[str, Any]) -> dict[str, Columns]:
    """Columns from plain data, as tomllib gives it."""
    units: Mapping[str, Sequence[float]] = raw["units"]
    return {
        table: Columns(
            table,
            tuple((_pattern(p), _column(kind, units)) for p, kind in kinds["figures"].items()),
            tuple(
                (_pattern(p), () if isinstance(words, str) else tuple(words))
                for p, words in kinds["texts"].items()
            ),
        )
        for table, kinds in raw.items()
        if table != "units"
    }


def _pattern(column: str) -> re.Pattern[str]:
    return re.compile(re.escape(column).replace(r"\*", ".*"))


def _column(kind: Any, units: Mapping[str, Sequence[float]]) -> Column:
    unit, *limits = [kind] if isinstance(kind, str) else kind
    least, greatest = limits or units[unit]
    return Column(unit, float(least), float(greatest))
