"""The tables of one plot file after validation, found by their kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from lattermath.record.plot_sections import Section

S = TypeVar("S", bound=Section)


@dataclass(frozen=True, slots=True)
class Named:
    """One table of many: its key, and its section unless it is faulty."""

    key: str
    section: Section | None


@dataclass(frozen=True, slots=True)
class Tables:
    """A file's tables: those that stand once, those that stand often, and its weather files."""

    single: Mapping[str, Section]
    many: Mapping[str, list[Named]]
    weather_files: list[str]

    def one(self, kind: type[S]) -> S | None:
        """The section of that kind, if it was written and holds no fault."""
        return next((s for s in self.single.values() if isinstance(s, kind)), None)

    def all(self, kind: type[S]) -> list[tuple[str, S]]:
        """Key and section of every sound table of that kind."""
        rows = [(row.key, row.section) for rows in self.many.values() for row in rows]
        return [(key, section) for key, section in rows if isinstance(section, kind)]
