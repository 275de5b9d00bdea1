"""Read plot.toml: the file a person writes about the plot. It is read, never rewritten."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic import ValidationError

from lattermath.record.plot_build import PlotBuilder
from lattermath.record.plot_doubts import check_doubts
from lattermath.record.plot_facts import Fact, FactKey
from lattermath.record.plot_faults import faults_in, shown
from lattermath.record.plot_references import (
    bed_words,
    check_beds,
    check_foods,
    check_label_crops,
)
from lattermath.record.plot_sections import MANY, SINGLE, TOP_KEYS, Section
from lattermath.record.plot_tables import Named, Tables
from lattermath.record.plot_units import UnitDoor
from lattermath.record.plot_words import Reading, nearest
from lattermath.record.rough_dates import Season
from lattermath.vocabulary.errors import Fault, PlotFileError

FORMAT = 1


@dataclass(frozen=True, slots=True)
class PlotFile:
    """A plot file as read: each fact under its section and key, in metric units."""

    file: str
    facts: Mapping[FactKey, Fact]


def read_plot_file(
    text: str,
    *,
    today: date,
    crop_of: Callable[[str], str | None],
    near_crops: Callable[[str], Sequence[str]] = lambda _: (),
    active_of: Callable[[str], str | None] = lambda word: word or None,
    ground_of: Callable[[str], float | None] = lambda _: None,
    file: str = "plot.toml",
) -> PlotFile:
    """The facts of a plot file's text.

    `crop_of` gives the crop id of a word, None for an unknown one; `near_crops` the words meant
    perhaps; `active_of` does the same for active ingredients; `ground_of` gives the ground in m2
    that one plant of a crop id takes. `today` settles the year of a date
    without one. PlotFileError carries every fault found, each with place, value and remedy.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        remedy = "Mend that line; the form of the file is TOML."
        raise PlotFileError(Fault("the file cannot be read", file, str(fault), remedy)) from fault
    season = _season(document, today)
    reader = _Reader(document, file, Reading(crop_of, near_crops, active_of, season, ground_of))
    facts = reader.facts()
    if reader.faults:
        raise PlotFileError(reader.faults)
    return PlotFile(file, facts)


def _season(document: dict[str, Any], today: date) -> Season:
    place = document.get("place")
    latitude = place.get("latitude") if isinstance(place, dict) else None
    year = document.get("season")
    return Season(
        today,
        year if isinstance(year, int) and 1900 <= year <= 2200 else None,
        isinstance(latitude, (int, float)) and latitude < 0,
    )


class _Reader:
    """One pass over a document, gathering faults as it goes."""

    def __init__(self, document: dict[str, Any], file: str, reading: Reading) -> None:
        self.document = document
        self.file = file
        self.reading = reading
        self.door = UnitDoor(document.get("units") == "us", file)
        self.faults: list[Fault] = []

    def facts(self) -> Mapping[FactKey, Fact]:
        """Every fact of the document; meaningless when faults were found."""
        self._check_top()
        single = {name: self._single(name) for name in SINGLE if name in self.document}
        rows = {name: self._rows(name) for name in MANY}
        many = {name: self._many(name, rows[name]) for name in MANY}
        words = bed_words(rows["bed"])
        check_beds(rows["planting"], words, self._fault)
        check_label_crops(rows["shelf"], self.reading, self._fault)
        check_foods(self.document.get("household"), self.reading, self._fault)
        check_doubts(self.document, rows, self.reading, self._fault)
        sound = {name: section for name, section in single.items() if section is not None}
        tables = Tables(sound, many, self._weather_files())
        builder = PlotBuilder(tables, words, self.reading, self._fault)
        built = builder.build()
        self.faults += self.door.faults
        return built

    def _check_top(self) -> None:
        known = {*TOP_KEYS, *SINGLE, *MANY}
        for key in sorted(self.document.keys() - known):
            self._fault("this key is not known here", key, key, nearest(key, known))
        found = self.document.get("format")
        if found != FORMAT or isinstance(found, bool):
            remedy = f"Write format = {FORMAT} as the first line."
            self._fault("the file's format is not one this program reads", "format", found, remedy)
        if self.document.get("units", "metric") not in ("metric", "us"):
            units = self.document["units"]
            self._fault("these units are not known", "units", units, 'Write "metric" or "us".')
        season = self.document.get("season", 2000)
        if not isinstance(season, int) or not 1900 <= season <= 2200:
            self._fault("this is no year", "season", season, "Write it as in season = 2026.")
        if "place" not in self.document:
            self._fault("this is needed", "place", None, "Write where the plot lies in [place].")

    def _weather_files(self) -> list[str]:
        files = self.document.get("weather", [])
        if isinstance(files, list) and all(isinstance(name, str) and name for name in files):
            return files
        self._fault("this is no list of files", "weather", files, 'Write ["station.csv"].')
        return []

    def _single(self, name: str) -> Section | None:
        table = self.document[name]
        if not isinstance(table, dict):
            self._fault("this should be one table", name, table, f"Write it under [{name}].")
            return None
        return self._validated(SINGLE[name], table, name)

    def _rows(self, name: str) -> list[tuple[str, dict[str, Any]]]:
        """Key and table of each of the tables that stand under one name."""
        tables = self.document.get(name, [])
        if isinstance(tables, list) and all(isinstance(table, dict) for table in tables):
            return list(zip(self._keys(name, tables), tables, strict=True))
        self._fault("this should be a list of tables", name, tables, f"Write [[{name}]].")
        return []

    def _many(self, name: str, rows: list[tuple[str, dict[str, Any]]]) -> list[Named]:
        model = MANY[name]
        return [Named(key, self._validated(model, row, f"{name}.{key}")) for key, row in rows]

    def _validated(self, model: type[Section], table: dict[str, Any], where: str) -> Section | None:
        try:
            return model.model_validate(self._metric(table, where), context=self.reading)
        except ValidationError as fault:
            self.faults += faults_in(fault, model, where, table, self.door)
            return None

    def _metric(self, table: dict[str, Any], where: str) -> dict[str, Any]:
        """The table with every unit name passed through the door, inner tables included."""
        passed = self.door.through(table, where)
        for name, value in passed.items():
            if (name == "crops" and isinstance(value, dict)) or _is_tables(name, value):
                passed[name] = self._inner(value, f"{where}.{name}")
        return passed

    def _inner(self, value: Any, where: str) -> Any:
        if isinstance(value, list):
            return [self._metric(row, f"{where}.{n}") for n, row in enumerate(value, 1)]
        return {
            crop: self._metric(row, f"{where}.{crop}") if isinstance(row, dict) else row
            for crop, row in value.items()
        }

    def _keys(self, name: str, tables: list[dict[str, Any]]) -> list[str]:
        """One key for each table; a name that stands twice is complained of."""
        keys = row_keys(tables)
        for n, table in enumerate(tables):
            given = table.get("key") or table.get("name")
            key = slug(str(given))
            if given and key in keys[:n]:
                self._fault("this name stands twice", f"{name}.{key}", given, "Name it otherwise.")
        return keys

    def _fault(self, what: str, where: str, value: Any, remedy: str) -> None:
        found = "" if value is None else shown(value)
        self.faults.append(Fault(what, f"{self.file}: {where}", found, remedy))


def _is_tables(name: str, value: Any) -> bool:
    inner = name in ("want", "packet") and isinstance(value, list)
    return inner and all(isinstance(row, dict) for row in value)


def row_keys(tables: Sequence[Mapping[str, Any]]) -> list[str]:
    """The key of each table of one kind: its own, or from its name or crop; a number where twice.

    Faults of a file name a table by this key.
    """
    keys: list[str] = []
    for n, table in enumerate(tables, 1):
        given = table.get("key") or table.get("name")
        key = slug(str(given or table.get("crop") or table.get("first") or n))
        again = 2
        while key in keys:
            key, again = f"{key.removesuffix(f'-{again - 1}')}-{again}", again + 1
        keys.append(key)
    return keys


def slug(name: str) -> str:
    """A key made from a name: small letters and digits, joined by hyphens."""
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-_") or "unnamed"
