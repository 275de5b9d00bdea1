"""Rows of a diary into local days: blanks, traces, duplicates, hour of reading."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import Field, Reading
from lattermath.weather.forms import cells
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import MOST_FAULTS, Document
from lattermath.weather.forms.reading_hour import owner_day, shift_mark
from lattermath.weather.units import Unit

# judgement: no climate with vegetables has a median daily maximum above this
_TOO_HOT_FOR_CELSIUS = 45.0


@dataclass(frozen=True, slots=True)
class Column:
    """One column that is read."""

    name: Field
    header: str
    at: int
    unit: Unit
    factor: float = 1.0

    @property
    def as_it_is(self) -> bool:
        """True when numbers are in base units already."""
        return self.unit.factor == 1.0 and self.unit.zero == 0.0 and self.factor == 1.0

    def value(self, number: float) -> float:
        """A number of this column in base units."""
        return self.unit.to_base(number) * self.factor


_NO_DAY = date.min  # of a row whose date cannot be read
Values = list[float | None]
_ORDER: tuple[Field, ...] = (
    "t_min",
    "t_max",
    "rain_mm",
    "rh_mean",
    "wind_m_s",
    "solar_mj_m2",
    "et0_mm",
)  # as Reading has them


def gather(
    document: Document,
    rows: Sequence[Sequence[str]],
    lines: Sequence[int],
    date_at: int,
    columns: Sequence[Column],
    facts: Mapping[str, str],
) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """The days in order, and what was assumed; a bad cell is set aside and said.

    Raises WeatherFileError with the bad cells where they are most of the rows.
    """
    faults: list[Fault] = []
    width = 1 + max([date_at, *(column.at for column in columns)])
    padded = [row if len(row) >= width else [*row, *[""] * (width - len(row))] for row in rows]
    days = _days(document, padded, lines, date_at, faults)
    traces: set[int] = set()
    values = {c.name: _values(document, padded, lines, c, faults, traces) for c in columns}
    if 2 * len(faults) > len(rows):
        raise WeatherFileError(faults[:MOST_FAULTS])
    _refuse_wrong_unit(document, values.get("t_max", []), columns)
    readings = [r for r in _readings(days, values, traces) if r.day != _NO_DAY]
    unique, notes = _merge_twice_written(readings)
    notes = (*_bad_cells(faults), *notes)
    if (hour := _hour(document, facts)) is not None:
        return _shift(unique, hour, notes)
    return unique, notes


def _days(
    document: Document,
    rows: Sequence[Sequence[str]],
    lines: Sequence[int],
    at: int,
    faults: list[Fault],
) -> list[date]:
    column = [row[at] for row in rows]
    try:
        found = cells.dates(column)
    except ValueError as fault:
        raise document.refusal(
            str(fault), "date column", column[0], "Write dates as 2026-07-31 (year, month, day)."
        ) from fault
    for n, day in enumerate(found):
        if day is None:
            where = f"line {lines[n]}, date"
            faults.append(
                document.fault("this is no date", where, column[n], "Write it as 2026-07-31.")
            )
    return [_NO_DAY if day is None else day for day in found]


def _bad_cells(faults: Sequence[Fault]) -> tuple[str, ...]:
    """What is said of cells that could not be read."""
    if not faults:
        return ()
    word = "1 cell was" if len(faults) == 1 else f"{len(faults)} cells were"
    where = faults[0].where.split(", ", 1)[-1]
    return (f"{word} set aside: {faults[0].what} (first: {where}, {faults[0].value!r}).",)


def _values(
    document: Document,
    rows: Sequence[Sequence[str]],
    lines: Sequence[int],
    column: Column,
    faults: list[Fault],
    traces: set[int],
) -> Values:
    """One column in base units. Whole columns of plain numbers take the short way."""
    texts = [row[column.at] for row in rows]
    if (plain := _plain_numbers(texts)) is not None:
        return [*plain] if column.as_it_is else [column.value(number) for number in plain]
    out: Values = []
    for n, text in enumerate(texts):
        if column.name == "rain_mm" and text.strip().lower() in cells.TRACE:
            traces.add(n)
            out.append(0.0)
            continue
        try:
            found = cells.number(text)
        except ValueError:
            where = f"line {lines[n]}, {column.header}"
            remedy = "Write a number, or leave the cell empty where nothing was read."
            faults.append(document.fault("this is no number", where, text, remedy))
            found = None
        out.append(None if found is None else column.value(found))
    return out


def _plain_numbers(texts: Sequence[str]) -> list[float] | None:
    """A column in which every cell is a plain number and no missing code; else None."""
    try:
        numbers = [float(text) for text in texts]
    except ValueError:
        return None
    return numbers if all(-99.0 < number < 900.0 for number in numbers) else None


def _refuse_wrong_unit(document: Document, t_max: Values, columns: Sequence[Column]) -> None:
    """Refuse a file whose maxima can hardly be what their unit says."""
    known = sorted(value for value in t_max if value is not None)
    if known and known[len(known) // 2] > _TOO_HOT_FOR_CELSIUS:
        column = next(c for c in columns if c.name == "t_max")
        raise document.refusal(
            f"most days are above {_TOO_HOT_FOR_CELSIUS:.0f} °C, so this is hardly "
            f"{column.unit.name}",
            f"column {column.header}",
            f"{column.unit.from_base(known[len(known) // 2]):g}",
            "Say units: these may be °F, or tenths.",
        )


def _readings(
    days: Sequence[date], values: Mapping[Field, Values], traces: set[int]
) -> list[Reading]:
    blank: Values = [None] * len(days)
    readings = list(map(Reading, days, *(values.get(name, blank) for name in _ORDER)))
    for n in traces:
        readings[n] = readings[n]._replace(marks=("trace",))
    return readings


def _merge_twice_written(
    readings: Sequence[Reading],
) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """One reading a day, in order; what two lines for one day disagree on is set aside."""
    by_day: dict[date, Reading] = {}
    twice: list[date] = []
    for reading in readings:
        other = by_day.setdefault(reading.day, reading)
        if other is not reading:
            twice.append(reading.day)
            by_day[reading.day] = _agreed(other, reading)
    days = tuple(by_day[day] for day in sorted(by_day))
    if not twice:
        return days, ()
    return days, (
        f"{len(twice)} days are written twice (first {twice[0]:%d %b %Y}); "
        "where the two lines differ the value is set aside.",
    )


def _agreed(a: Reading, b: Reading) -> Reading:
    """Two lines for one day as one reading; a value on which they differ is set aside."""
    values: dict[Field, float | None] = {}
    marks = [mark for mark in b.marks if mark not in a.marks]
    for name in _ORDER:
        first, second = getattr(a, name), getattr(b, name)
        values[name] = second if first is None else first
        if first is not None and second is not None and first != second:
            values[name] = None
            marks.append(f"set aside: {name} written as {first:g} and as {second:g}")
    return a.with_values(values, *marks)


def _hour(document: Document, facts: Mapping[str, str]) -> time | None:
    text = facts.get("read at")
    if text is None:
        return None
    if found := re.fullmatch(r"([01]?\d|2[0-3])[:.]?([0-5]\d)", text):
        return time(int(found[1]), int(found[2]))
    raise document.refusal("this is no time of day", "read at", text, "Write it as 07:00.")


def _shift(
    readings: Sequence[Reading], hour: time, notes: tuple[str, ...]
) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """Give each value to the day on which it mostly happened."""
    book = DayBook()
    for reading in readings:
        for mark in reading.marks:
            book.mark(reading.day, mark)
        book.put(reading.day, "t_min", reading.t_min)
        moving: tuple[Field, ...] = ("t_max", "rain_mm")
        for name in moving:
            day = owner_day(reading.day, hour, name)
            mark = shift_mark(hour) if day != reading.day else ""
            book.put(day, name, getattr(reading, name), mark)
        for extra in _ORDER[3:]:
            book.put(reading.day, extra, getattr(reading, extra))
    words = f"Read at {hour:%H:%M}: maxima and rain read in the morning belong to the day before."
    return book.readings(), (*notes, words)
