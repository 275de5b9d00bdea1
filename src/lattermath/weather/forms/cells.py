"""Cells of a table typed by people: numbers, dates, blanks."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import date

MISSING = frozenset(
    ("", "na", "n/a", "nan", "null", "none", "-", "--", "---", ".", "m", "missing", "?")
)
MISSING_CODES = frozenset((-9999.0, -999.9, -999.0, -99.9, 9999.0, 999.9))
TRACE = frozenset(("t", "tr", "trace"))
FIRST_YEAR, LAST_YEAR = 1650, 2200  # judgement: older or later years are slips of the pen
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")


def number(text: str) -> float | None:
    """A number written with a point or a decimal comma; None for a blank or a missing code.

    Raises ValueError for anything else.
    """
    plain = text.strip().replace("\u2212", "-")
    if plain.lower() in MISSING:
        return None
    if not _NUMBER.fullmatch(plain):
        raise ValueError(f"{text!r} is not a number")
    value = float(plain.replace(",", "."))
    return None if value in MISSING_CODES else value


def plain_number(text: str) -> float:
    """A finite number as programs write it. ValueError for anything else."""
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{text!r} is not a number")
    return value


def iso_date(text: str) -> date:
    """A date as YYYY-MM-DD. ValueError for none, or for a year no thermometer saw."""
    return _in_time(date.fromisoformat(text))


def _in_time(day: date) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(f"the year {day.year} is out of range")
    return day


def dates(column: Sequence[str]) -> list[date | None]:
    """The dates of a column, None where a cell is none.

    Raises ValueError when the order of day and month cannot be told.
    """
    try:
        return [iso_date(cell) for cell in column]
    except ValueError:
        parts = [_parts(cell) for cell in column]
    slashed = [part for part in parts if part is not None and part[0] == "?"]
    return [_date(part, _order(slashed)) for part in parts]


def _parts(cell: str) -> tuple[str, int, int, int] | None:
    """Order mark (y: year first, d: day first by its dots, ?: to be told) and three numbers."""
    text = cell.strip().split("T")[0].split(" ")[0]
    if found := re.fullmatch(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})|(\d{4})(\d\d)(\d\d)", text):
        year, month, day = (int(group) for group in found.groups() if group is not None)
        return "y", year, month, day
    if found := re.fullmatch(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})", text):
        return ("d" if found[2] == "." else "?"), int(found[1]), int(found[3]), int(found[4])
    return None


def _order(slashed: Sequence[tuple[str, int, int, int]]) -> str:
    """Whether day or month stands first, told by a number above 12; never guessed."""
    if not slashed:
        return ""
    day_first = any(part[1] > 12 for part in slashed)
    month_first = any(part[2] > 12 for part in slashed)
    if day_first and month_first:
        raise ValueError("the dates are not all written in one order of day and month")
    if day_first or month_first:
        return "d" if day_first else "m"
    if all(part[1] == part[2] for part in slashed):
        return "d"  # 3/3 reads the same either way
    raise ValueError("the dates do not tell whether the day or the month stands first")


def _date(part: tuple[str, int, int, int] | None, order: str) -> date | None:
    if part is None:
        return None
    kind, a, b, c = part
    year, month, day = (a, b, c) if kind == "y" else (c, b, a)
    if kind == "?" and order == "m":
        month, day = a, b
    try:
        return _in_time(date(year, month, day))
    except ValueError:
        return None
