"""Daily CSV of an open archive of stations (Meteostat): with and without a header.

Old files: date and ten values in a fixed order, often without a header. New ones name their
columns, split the date into year, month and day, and say beside each value where it is from
(`tmin_source`). C, mm, km/h at 10 m, percent (place.md 12.6; names, units and sources of the new
layout as the archive's own reader has them). What a forecast model filled in is not measured.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import FORECAST, Field, WeatherFile
from lattermath.weather.forms import cells
from lattermath.weather.forms.day_book import DayBook
from lattermath.weather.forms.document import MOST_FAULTS, Document, Form
from lattermath.weather.units import TWO_METRES_FROM_TEN

_OLD = ("date", "tavg", "tmin", "tmax", "prcp", "snow", "wdir", "wspd", "wpgt", "pres", "tsun")
_OLD_ROW = re.compile(r"\d{4}-\d\d-\d\d(,-?\d*(\.\d+)?){10}\s*")
_READ: dict[str, tuple[Field, float]] = {
    "tmin": ("t_min", 1.0),
    "tmax": ("t_max", 1.0),
    "prcp": ("rain_mm", 1.0),
    "rhum": ("rh_mean", 1.0),
    "wspd": ("wind_m_s", TWO_METRES_FROM_TEN / 3.6),
}
_KNOWN_BY = {"prcp", "wspd", "pres"}  # beside tmin and tmax; no diary has all of them
_MODELS = frozenset(("dwd_mosmix", "metno_forecast", "model"))  # graded as forecast, or so named
_SOURCE = "_source"


def _first_line(document: Document) -> str:
    return document.text.lstrip().split("\n", 1)[0].strip()


def _recognises(document: Document) -> bool:
    first = _first_line(document)
    if _OLD_ROW.fullmatch(first):
        return True
    names = {name.strip().lower() for name in first.split(",")}
    return names >= {"tmin", "tmax"} | _KNOWN_BY and (
        bool(names & {"date", "time"}) or names >= {"year", "month", "day"}
    )


@dataclass(slots=True)
class _Archive:
    """What has been gathered of one file."""

    document: Document
    book: DayBook = field(default_factory=DayBook)
    faults: list[Fault] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def take(self, line: int, row: Mapping[str, str]) -> None:
        """Enter one day. Faults are kept for later."""
        day = self._day(line, row)
        if day is None:
            return
        if day in self.book.values:
            where = f"line {line}"
            self.faults.append(self.document.fault("the day stands twice", where, str(day)))
            return
        self.book.open_day(day)
        known = {name: self._number(line, row, name) for name in _READ}
        modelled = {n for n, v in known.items() if v is not None and _of_model(row, n)}
        measured = {n for n, v in known.items() if v is not None} - modelled
        whole = bool(modelled & {"tmin", "tmax"}) and not measured & {"tmin", "tmax"}
        if whole:
            self.counts["forecast"] += 1
            self.book.mark(day, FORECAST)
        for name, value in known.items():
            target, factor = _READ[name]
            if value is not None and name in modelled and not whole:
                self.counts["aside"] += 1
                self.book.mark(day, f"set aside: {target} {value:g}, filled in by a model")
            else:
                self.book.put(day, target, None if value is None else value * factor)

    def _day(self, line: int, row: Mapping[str, str]) -> date | None:
        text = row.get("date") or row.get("time", "")
        if "year" in row:
            text = "-".join((row["year"], row["month"].zfill(2), row["day"].zfill(2)))
        try:
            return cells.iso_date(text.split(" ")[0].split("T")[0])
        except ValueError:
            fault = self.document.fault("this is no date", f"line {line}", text, "Fetch it again.")
            self.faults.append(fault)
            return None

    def _number(self, line: int, row: Mapping[str, str], name: str) -> float | None:
        text = row.get(name, "")
        if not text:
            return None
        try:
            return cells.plain_number(text)
        except ValueError:
            fault = self.document.fault("this is no number", f"line {line}, {name}", text)
            self.faults.append(fault)
            return None


def _of_model(row: Mapping[str, str], name: str) -> bool:
    return bool(_MODELS & set(row.get(name + _SOURCE, "").split()))


def _read(document: Document) -> WeatherFile:
    rows = [row for row in csv.reader(document.text.splitlines()) if row]
    bare = _OLD_ROW.fullmatch(_first_line(document)) is not None
    names = list(_OLD) if bare else [name.strip().lower() for name in rows[0]]
    archive = _Archive(document)
    for line, row in enumerate(rows if bare else rows[1:], start=1 if bare else 2):
        padded = [cell.strip() for cell in (*row, *[""] * (len(names) - len(row)))]
        archive.take(line, dict(zip(names, padded, strict=False)))
    if archive.faults:
        raise WeatherFileError(archive.faults[:MOST_FAULTS])
    sourced = any(name.endswith(_SOURCE) for name in names)
    says = tuple(_says(archive.counts, sourced=sourced))
    readings = archive.book.readings()
    return WeatherFile(document.file, _NAME, document.digest, readings, None, None, None, says)


def _says(counts: Mapping[str, int], *, sourced: bool) -> Sequence[str]:
    says = [
        "Read as °C, mm and km/h at 10 m, as the archive prescribes. Its days may be those of UTC: "
        "an evening or dawn extreme may stand a day off."
    ]
    if counts["forecast"]:
        says.append(
            f"{counted(counts['forecast'], 'days')} filled in by a model: taken as forecast."
        )
    if counts["aside"]:
        says.append(f"{counted(counts['aside'], 'values')} filled in by a model: set aside.")
    if not sourced:
        says.append("The file does not say where its values are from: some may be of a model.")
    return says


_NAME = "meteostat daily csv"
METEOSTAT = Form(_NAME, _recognises, _read)
