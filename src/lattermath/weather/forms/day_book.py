"""Gathers values day by day until a file has been read through."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from lattermath.weather.days import Field, Reading


@dataclass(slots=True)
class DayBook:
    """Values and marks by local day; gives the readings in order."""

    values: dict[date, dict[str, Any]] = field(default_factory=dict)
    marks: dict[date, list[str]] = field(default_factory=dict)

    def open_day(self, day: date) -> dict[str, Any]:
        """The entry of a day, so that a day of which only gaps are known still stands."""
        return self.values.setdefault(day, {})

    def put(self, day: date, name: Field, value: float | None, mark: str = "") -> None:
        """Enter a value; a missing one leaves what is there."""
        entry = self.open_day(day)
        if value is not None:
            entry[name] = value
        if mark:
            self.mark(day, mark)

    def mark(self, day: date, words: str) -> None:
        """Say something about a day, once."""
        self.open_day(day)
        said = self.marks.setdefault(day, [])
        if words not in said:
            said.append(words)

    def has(self, day: date, name: Field) -> bool:
        """True where a value is entered."""
        return name in self.values.get(day, {})

    def readings(self) -> tuple[Reading, ...]:
        """All days in order."""
        blank: dict[str, Any] = {"t_min": None, "t_max": None, "rain_mm": None}
        return tuple(
            Reading(day=day, marks=tuple(self.marks.get(day, ())), **(blank | self.values[day]))
            for day in sorted(self.values)
        )
