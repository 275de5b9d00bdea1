"""GHCN-Daily station files: the access CSV, the headerless CSV, and the fixed-width month lines.

Layouts as recalled from the archive's own description (place.md 12.1 and 12.2).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from datetime import date

from lattermath.weather.days import WeatherFile
from lattermath.weather.forms import cells
from lattermath.weather.forms.document import Document, Form
from lattermath.weather.forms.ghcn_values import ELEMENTS, NEEDED, Flags, StationBook

_MONTH_LINE = 269  # characters: station, year, month, element, and 31 days of eight each
_LINE = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}\d{6}[A-Z0-9]{4}[ \d-]{5}")
_BULK = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9},\d{8},[A-Z0-9]{4},-?\d+,")


def _first_line(document: Document) -> str:
    return document.text.lstrip().split("\n", 1)[0]


def _is_access(document: Document) -> bool:
    head = _first_line(document).upper()
    return "STATION" in head and "DATE" in head and "_ATTRIBUTES" in head


def _read_access(document: Document) -> WeatherFile:
    rows = [row for row in csv.reader(document.text.splitlines()) if row]
    header = {name.strip().upper(): at for at, name in enumerate(rows[0])}
    if "DATE" not in header or not any(name in header for name in NEEDED):
        raise document.refusal(
            "there is no DATE, or none of TMIN, TMAX and PRCP",
            "header",
            remedy="Choose a station that measures them.",
        )
    _refuse_several(document, {_cell(header, row, "STATION") for row in rows[1:]})
    station = StationBook(document)
    for line, row in enumerate(rows[1:], start=2):
        day = _date(station, f"line {line}, DATE", _cell(header, row, "DATE"))
        if day is None:
            continue
        for element in ELEMENTS:
            attributes = _cell(header, row, element + "_ATTRIBUTES").split(",")
            measured, quality, _, hour = (a.strip() for a in [*attributes, "", "", "", ""][:4])
            text = _cell(header, row, element)
            station.take(
                f"line {line}, {element}", day, element, text, Flags(measured, quality, hour)
            )
    first = rows[1] if len(rows) > 1 else []
    place = [_fact(_cell(header, first, n)) for n in ("LATITUDE", "LONGITUDE", "ELEVATION")]
    return _file(document, "ghcn-daily csv", station, place)


def _is_bulk(document: Document) -> bool:
    return _BULK.match(_first_line(document)) is not None


def _read_bulk(document: Document) -> WeatherFile:
    """Rows of station, date, element, value, measurement, quality, source, hour; no header."""
    rows = [row for row in csv.reader(document.text.splitlines()) if row]
    _refuse_several(document, {row[0] for row in rows})
    station = StationBook(document)
    for line, row in enumerate(rows, start=1):
        cell = [text.strip() for text in [*row, *[""] * 8][:8]]
        day = _date(station, f"line {line}, date", _dashed(cell[1]))
        if day is not None and cell[2] in ELEMENTS:
            flags = Flags(cell[4], cell[5], cell[7])
            station.take(f"line {line}, {cell[2]}", day, cell[2], cell[3], flags)
    return _file(document, "ghcn-daily rows", station, [None, None, None])


def _is_month_lines(document: Document) -> bool:
    return _LINE.match(_first_line(document)) is not None


def _read_month_lines(document: Document) -> WeatherFile:
    """Lines of one element and month; short ones lost their trailing blanks and are padded."""
    lines = [line.rstrip("\r").ljust(_MONTH_LINE) for line in document.text.split("\n")]
    _refuse_several(document, {line[:11] for line in lines if line.strip()})
    station = StationBook(document)
    for at, line in enumerate(lines, start=1):
        element = line[17:21]
        if not line.strip() or element not in ELEMENTS:
            continue
        for n in range(31):
            cell = line[21 + 8 * n : 29 + 8 * n]
            if cell[:5].strip() in ("", "-9999"):
                continue  # also the days that a short month has not
            where = f"line {at}, day {n + 1}"
            day = _date(station, where, f"{line[11:15]}-{line[15:17]}-{n + 1:02d}")
            if day is not None:
                flags = Flags(cell[5].strip(), cell[6].strip())
                station.take(where, day, element, cell[:5].strip(), flags)
    return _file(document, "ghcn-daily dly", station, [None, None, None])


def _file(
    document: Document, form: str, station: StationBook, place: Sequence[float | None]
) -> WeatherFile:
    readings, says = station.finish()
    latitude, longitude, altitude = place
    return WeatherFile(
        document.file, form, document.digest, readings, latitude, longitude, altitude, says
    )


def _refuse_several(document: Document, stations: set[str]) -> None:
    if len(stations) > 1:
        raise document.refusal(
            "the file holds several stations",
            "station",
            ", ".join(sorted(stations)),
            "Give one file a station, the nearest last.",
        )


def _date(station: StationBook, where: str, text: str) -> date | None:
    try:
        return cells.iso_date(text)
    except ValueError:
        fault = station.document.fault("this is no date", where, text, "A date reads 2023-10-14.")
        station.faults.append(fault)
        return None


def _dashed(text: str) -> str:
    return f"{text[:4]}-{text[4:6]}-{text[6:]}"


def _cell(header: Mapping[str, int], row: Sequence[str], name: str) -> str:
    at = header.get(name)
    return "" if at is None or at >= len(row) else row[at].strip()


def _fact(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


GHCN_DAILY = Form("ghcn-daily csv", _is_access, _read_access)
GHCN_ROWS = Form("ghcn-daily rows", _is_bulk, _read_bulk)
GHCN_DLY = Form("ghcn-daily dly", _is_month_lines, _read_month_lines)
