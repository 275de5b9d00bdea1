"""GHCN-Daily station CSV: one row a day, tenths of a unit, each value with its attributes.

Layout as recalled from the archive's own description (place.md 12.1). PRCP in tenths of mm, TMAX
and TMIN in tenths of C, AWND in tenths of m/s; attributes are "M,Q,S[,hour]": any quality flag Q
sets the value aside, M = T is a trace, M = P is a zero that nobody measured. MDPR is the total of
DAPR days and is shared over them. A value read in the morning is given to the day it happened.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import Field, WeatherFile
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import MOST_FAULTS, Document, Form
from lattermath.weather.forms.reading_hour import owner_day, shift_mark

_ELEMENTS: dict[str, tuple[Field, float]] = {
    "TMIN": ("t_min", 0.1),
    "TMAX": ("t_max", 0.1),
    "PRCP": ("rain_mm", 0.1),
    "AWND": ("wind_m_s", 0.1),
}
_LONGEST_TOTAL = 31  # judgement: a total of more days says nothing of any one of them


@dataclass(slots=True)
class _Station:
    """What has been gathered so far."""

    document: Document
    header: dict[str, int]
    book: DayBook = field(default_factory=DayBook)
    faults: list[Fault] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    late: list[tuple[date, Field, float, time]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Value:
    """One value with its attributes."""

    number: float
    measured: str
    quality: str
    hour: time | None


def _recognises(document: Document) -> bool:
    head = document.text.lstrip().split("\n", 1)[0].upper()
    return "STATION" in head and "DATE" in head and "_ATTRIBUTES" in head


def _read(document: Document) -> WeatherFile:
    rows = list(csv.reader(document.text.splitlines()))
    header = {name.strip().upper(): at for at, name in enumerate(rows[0])}
    station = _Station(document, header)
    if not any(name in header for name in ("TMIN", "TMAX", "PRCP")):
        raise document.refusal(
            "the station has neither TMIN, TMAX nor PRCP",
            "header",
            remedy="Choose a station that measures them.",
        )
    names = {row[header["STATION"]] for row in rows[1:] if row}
    if len(names) > 1:
        raise document.refusal(
            "the file holds several stations",
            "STATION",
            ", ".join(sorted(names)),
            "Give one file a station, the nearest last.",
        )
    for line, row in enumerate(rows[1:], start=2):
        if row:
            _take_row(station, line, row)
    _take_late(station)
    if station.faults:
        raise WeatherFileError(station.faults[:MOST_FAULTS])
    body = [row for row in rows[1:] if row]
    first = body[0] if body else []
    return WeatherFile(
        document.file,
        "ghcn-daily csv",
        document.digest,
        station.book.readings(),
        _fact(station, first, "LATITUDE"),
        _fact(station, first, "LONGITUDE"),
        _fact(station, first, "ELEVATION"),
        _says(station.counts),
    )


def _cell(station: _Station, row: Sequence[str], name: str) -> str:
    at = station.header.get(name)
    return "" if at is None or at >= len(row) else row[at].strip()


def _fact(station: _Station, row: Sequence[str], name: str) -> float | None:
    try:
        return float(_cell(station, row, name))
    except ValueError:
        return None


def _take_row(station: _Station, line: int, row: Sequence[str]) -> None:
    text = _cell(station, row, "DATE")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        remedy = "A date reads 2023-10-14."
        station.faults.append(
            station.document.fault("this is no date", f"line {line}, DATE", text, remedy)
        )
        return
    station.book.open_day(day)
    for element, (name, scale) in _ELEMENTS.items():
        value = _value(station, line, row, element)
        if value is not None:
            _take(station, day, name, scale, value)
    _take_total(station, line, row, day)


def _value(station: _Station, line: int, row: Sequence[str], element: str) -> _Value | None:
    text = _cell(station, row, element)
    if text in ("", "-9999"):
        return None
    attributes = [*_cell(station, row, element + "_ATTRIBUTES").split(","), "", "", "", ""]
    try:
        number, hour = float(int(text)), _hour(attributes[3].strip())
    except ValueError:
        found = f"{text} [{','.join(attributes).rstrip(',')}]"
        remedy = "Values are whole numbers, in tenths; an hour of reading has four digits."
        station.faults.append(
            station.document.fault("this is no value", f"line {line}, {element}", found, remedy)
        )
        return None
    return _Value(number, attributes[0].strip(), attributes[1].strip(), hour)


def _hour(text: str) -> time | None:
    """The hour of reading; 2400 and blank are the day itself."""
    if text in ("", "2400", "9999"):
        return None
    return time(int(text.zfill(4)[:2]), int(text.zfill(4)[2:]))


def _take(station: _Station, day: date, name: Field, scale: float, value: _Value) -> None:
    book, number = station.book, round(value.number * scale, 1)
    if value.quality:
        station.counts["quality"] += 1
        words = f"set aside: {name} {number:g}, failed the station's own check {value.quality}"
        book.mark(owner_day(day, value.hour, name), words)
        return
    if name == "rain_mm" and value.measured == "P":
        station.counts["presumed"] += 1
        book.mark(
            owner_day(day, value.hour, name), "set aside: rain_mm presumed zero, not measured"
        )
        return
    if name == "rain_mm" and value.measured == "T":
        book.mark(owner_day(day, value.hour, name), "trace")
    if value.hour is not None and owner_day(day, value.hour, name) != day:
        station.counts["shifted"] += 1
        station.late.append((day, name, number, value.hour))
        return
    station.counts["hour" if value.hour is not None else "no hour"] += 1
    book.put(day, name, number)


def _take_late(station: _Station) -> None:
    """Morning readings to the day before, unless that day has a reading of its own."""
    for day, name, number, hour in station.late:
        owner = owner_day(day, hour, name)
        if station.book.has(owner, name):
            station.book.mark(owner, f"set aside: {name} {number:g} of a second reading")
        else:
            station.book.put(owner, name, number, shift_mark(hour))


def _take_total(station: _Station, line: int, row: Sequence[str], day: date) -> None:
    """A total of several days: shared over them and marked, or set aside."""
    total = _value(station, line, row, "MDPR")
    if total is None:
        return
    span = _value(station, line, row, "DAPR")
    days = 0 if span is None or span.quality else int(span.number)
    book, millimetres = station.book, round(total.number * 0.1, 1)
    if total.quality or not 1 <= days <= _LONGEST_TOTAL:
        station.counts["total unused"] += 1
        book.mark(day, f"set aside: {millimetres:g} mm over an unknown number of days")
        return
    station.counts["total"] += 1
    last = owner_day(day, total.hour, "rain_mm")
    for back in range(days):
        share = last - timedelta(days=back)
        if not book.has(share, "rain_mm"):
            words = f"share of {millimetres:g} mm that fell in {days} days to {last:%d %b %Y}"
            book.put(share, "rain_mm", millimetres / days, words)
            book.values[share]["rain_known"] = day


def _says(counts: Mapping[str, int]) -> tuple[str, ...]:
    out = ["Read as tenths of °C and of mm, as the form prescribes."]
    if counts["quality"]:
        out.append(f"{counts['quality']} values failed the station's own checks and are set aside.")
    if counts["presumed"]:
        out.append(
            f"{counts['presumed']} days of rain presumed zero are set aside as not measured."
        )
    if counts["shifted"]:
        out.append(
            f"{counts['shifted']} values read in the morning are given to the day before, "
            "when they mostly happened."
        )
    if counts["no hour"]:
        out.append(
            "Where no hour of reading is given, a value is taken to belong to its printed date."
        )
    if counts["total"]:
        out.append(f"{counts['total']} totals of several days' rain are shared over their days.")
    if counts["total unused"]:
        out.append(f"{counts['total unused']} totals over an unknown number of days are set aside.")
    return tuple(out)


GHCN_DAILY = Form("ghcn-daily csv", _recognises, _read)
