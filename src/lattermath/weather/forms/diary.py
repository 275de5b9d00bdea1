"""A plain table of days: a min/max thermometer diary, or a station order without unit marks.

Columns are known by name (`date,tmin_c,tmax_c,rain_mm`, optional rh, wind, solar, et0), in any
order, parted by comma, semicolon or tab. Units come from the header, from a unit line under it,
from a comment line `# units: C, mm`, or from the grower; they are never guessed from the values.
Comment lines may also give `latitude`, `longitude`, `altitude` and `read at` (HH:MM).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lattermath.vocabulary.errors import Fault, WeatherFileError
from lattermath.weather.days import Field, WeatherFile
from lattermath.weather.forms import cells
from lattermath.weather.forms.diary_days import Column, gather
from lattermath.weather.forms.document import MOST_FAULTS, Document, Form
from lattermath.weather.units import TWO_METRES_FROM_TEN, Unit, asked_units, split_unit, unit_of

SAY_UNITS = (
    "Say units: --units metric (C, mm) or --units us (F, inch), "
    "or a header such as date,tmin_f,tmax_f,rain_in."
)
_NAMES: dict[str, Field] = {
    **dict.fromkeys(
        (
            "tmin",
            "min",
            "low",
            "minimum",
            "mintemp",
            "tempmin",
            "temperaturemin",
            "lowtemp",
            "minimumtemperature",
            "mintemperature",
        ),
        "t_min",
    ),
    **dict.fromkeys(
        (
            "tmax",
            "max",
            "high",
            "maximum",
            "maxtemp",
            "tempmax",
            "temperaturemax",
            "hightemp",
            "maximumtemperature",
            "maxtemperature",
        ),
        "t_max",
    ),
    **dict.fromkeys(("rain", "rainfall", "prcp", "precip", "precipitation"), "rain_mm"),
    **dict.fromkeys(("rh", "rhmean", "humidity", "relativehumidity"), "rh_mean"),
    **dict.fromkeys(("wind", "wind2m", "wind10m", "windspeed"), "wind_m_s"),
    **dict.fromkeys(("solar", "radiation", "sunenergy"), "solar_mj_m2"),
    **dict.fromkeys(("et0", "eto", "referenceet"), "et0_mm"),
}
_QUANTITY: dict[Field, str] = {
    "t_min": "temperature",
    "t_max": "temperature",
    "rain_mm": "depth",
    "et0_mm": "depth",
    "wind_m_s": "speed",
    "solar_mj_m2": "energy",
    "rh_mean": "share",
}
_DATES = ("date", "day", "datum")
_STATION = ("station", "stationid", "id")


@dataclass(slots=True)
class _Table:
    """A table cut into cells: facts of its comment lines, header, rows with their line numbers."""

    facts: dict[str, str] = field(default_factory=dict)
    header: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)


def _cut(text: str) -> _Table:
    """Comment facts, header and rows. The separator is the commonest one in the header line."""
    table, lines = _Table(), text.splitlines()
    body: list[str] = []
    for at, line in enumerate(lines, start=1):
        if body and line[:1].isdigit():  # a row of days
            body.append(line)
            table.lines.append(at)
            continue
        bare = line.strip().strip(",;\t")
        fact = re.fullmatch(r"#\s*([A-Za-z ]+?)\s*[:=]\s*(.*)", bare) or (
            None if body else re.fullmatch(r"(units?)\s*[:=]\s*(.*)", bare, re.IGNORECASE)
        )
        if fact:
            table.facts[fact[1].lower()] = fact[2].strip()
        elif bare and not bare.startswith("#"):
            body.append(line)
            table.lines.append(at)
    if not body:
        return table
    separator = max((",", ";", "\t"), key=body[0].count)
    rows = list(csv.reader(body, delimiter=separator, skipinitialspace=True))
    if len(rows) != len(body):  # a quoted cell runs over line ends: line numbers are lost
        table.lines = list(range(1, len(rows) + 1))
    table.header, table.rows = rows[0], rows[1:]
    del table.lines[0]
    return table


def _head(text: str) -> list[str]:
    return _cut(text[:8000]).header


def _plain(names: Sequence[str]) -> list[str]:
    return [split_unit(name)[0] for name in names]


def _is_diary(document: Document) -> bool:
    names = _plain(_head(document.text))
    return any(name in _DATES for name in names) and any(name in _NAMES for name in names)


def _is_order(document: Document) -> bool:
    names = _plain(_head(document.text))
    return any(name in _STATION for name in names) and _is_diary(document)


def read(document: Document, form: str) -> WeatherFile:
    """The days of a diary. Raises WeatherFileError with all faults of units and cells."""
    table = _cut(document.text)
    units_row = table.rows[0] if table.rows and _is_unit_row(table) else None
    if units_row is not None:
        del table.rows[0], table.lines[0]
    said = _said_units(document, table.facts)
    columns = list(_columns(document, table, units_row, said))
    date_at = next(i for i, name in enumerate(_plain(table.header)) if name in _DATES)
    readings, notes = gather(document, table.rows, table.lines, date_at, columns, table.facts)
    unread = [name.strip() for name in table.header if _left_out(name)]
    if unread:
        notes = (*notes, f"Columns not used: {', '.join(unread)}.")
    return WeatherFile(
        document.file,
        form,
        document.digest,
        readings,
        _fact(document, table, "latitude"),
        _fact(document, table, "longitude"),
        _fact(document, table, "altitude"),
        (_unit_words(columns), *_missing_columns(columns), *notes),
        {column.name: column.unit for column in columns},
    )


def _missing_columns(columns: Sequence[Column]) -> Iterator[str]:
    """Say which of lows and highs the table has no column for."""
    found = {column.name for column in columns}
    names: tuple[tuple[Field, str], ...] = (("t_min", "lows"), ("t_max", "highs"))
    for name, word in names:
        if name not in found:
            yield f"There is no column of {word}: these days do not count as measured."


def _left_out(header: str) -> bool:
    name = split_unit(header)[0]
    return name not in _NAMES and name not in _DATES and name not in _STATION and name != "name"


def _is_unit_row(table: _Table) -> bool:
    """True when the row under the header holds units and no numbers."""
    found = [unit_of(cell) for cell in table.rows[0]]
    filled = [cell for cell in table.rows[0] if re.search(r"\d", cell.replace("m2", ""))]
    return any(unit is not None for unit in found) and not filled


def _said_units(document: Document, facts: dict[str, str]) -> dict[str, Unit]:
    """Units that the grower or a comment line states, by quantity."""
    stated: dict[str, Unit] = {}
    for text, where in (
        (facts.get("units", facts.get("unit")), "units line"),
        (document.units, "units given"),
    ):
        if text is None:
            continue
        found = asked_units(text)
        if found is None:
            raise document.refusal("these are no units", where, text, SAY_UNITS)
        if other := [u.name for q, u in found.items() if stated.get(q, u) != u]:
            said = f"the file's units line says otherwise than {', '.join(other)}"
            raise document.refusal(said, where, text, "Leave the units out, or mend the line.")
        stated |= found
    return stated


def _columns(
    document: Document, table: _Table, units_row: list[str] | None, said: dict[str, Unit]
) -> Iterator[Column]:
    """The columns that are read, each with its unit. Raises for units unknown or contradicted."""
    faults: list[Fault] = []
    seen: set[Field] = set()
    for at, header in enumerate(table.header):
        plain, unit = split_unit(header)
        name = _NAMES.get(plain)
        if name is None:
            continue
        if name in seen:
            faults.append(document.fault("two columns say the same", "header", header))
        seen.add(name)
        if unit is None and units_row is not None and at < len(units_row):
            unit = unit_of(units_row[at])
        quantity = _QUANTITY[name]
        asked = said.get(quantity)
        if unit is not None and asked is not None and unit != asked:
            faults.append(
                document.fault(
                    f"the file says {unit.name} and you say {asked.name}",
                    f"column {header.strip()}",
                    remedy="Leave the units out, or correct the header.",
                )
            )
        unit = unit or asked
        if unit is None or unit.quantity != quantity:
            found = "" if unit is None else unit.name
            faults.append(
                document.fault(
                    "the unit is not known", f"column {header.strip()}", found, SAY_UNITS
                )
            )
            continue
        factor = TWO_METRES_FROM_TEN if plain == "wind10m" else 1.0
        yield Column(name, header.strip(), at, unit, factor)
    if faults:
        raise WeatherFileError(faults[:MOST_FAULTS])


def _fact(document: Document, table: _Table, name: str) -> float | None:
    text = table.facts.get(name)
    if text is None:
        return None
    try:
        return cells.number(text.removesuffix("m").strip())
    except ValueError as fault:
        raise document.refusal(f"the {name} is no number", "comment line", text) from fault


def _unit_words(columns: Sequence[Column]) -> str:
    by_unit: dict[str, list[str]] = {}
    for column in columns:
        by_unit.setdefault(column.unit.name, []).append(column.header)
    said = "; ".join(f"{', '.join(names)} in {unit}" for unit, names in by_unit.items())
    return f"Read as stated: {said}."


DIARY = Form("diary csv", _is_diary, lambda document: read(document, "diary csv"))
ORDER = Form("station order csv", _is_order, lambda document: read(document, "station order csv"))
