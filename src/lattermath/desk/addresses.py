"""Unfolds the address a reason rests on: journal entry, reading, table figure, label line, rule."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from lattermath.desk.entry_words import entry_words
from lattermath.knowledge.tables import Tables
from lattermath.planning.limit_clauses import LINE_NAMES
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.errors import Fault, InputError, TableError
from lattermath.vocabulary.events import Event, Withdrawal
from lattermath.vocabulary.figure import Figure, Provenance
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Bed, Planting, Plot
from lattermath.weather.daily_record import DailyRecord

LINE_STATES = {
    "none": "the label gives none (you looked)",
    "not copied": "not copied from the label",
}
LINE_UNITS = {
    "_days": "days",
    "_hours": "hours",
    "_temperature_c": "C",
    "_m_s": "m/s",
    "_ml_per_l": "ml or g a litre",
    "_l_per_m2": "litres a square metre",
}


@dataclass(frozen=True, slots=True)
class Ground:
    """What addresses point into."""

    plot: Plot
    events: tuple[Event, ...]
    tables: Tables
    record: DailyRecord | None


def unfold(address: str, ground: Ground) -> str:
    """Give one line for one address; an address that leads nowhere says so."""
    try:
        return looked_up(address, ground)
    except InputError:
        return f"{address} (no longer there)"


def looked_up(address: str, ground: Ground) -> str:
    """Give one line for one address. InputError, with the nearest names, where it leads nowhere."""
    kind, _, rest = address.partition(":")
    reader = READERS.get(kind)
    if reader is None:
        raise _nowhere(address, f"An address begins with {', '.join(READERS)} and a colon.")
    try:
        return reader(rest, ground)
    except (KeyError, ValueError, IndexError, StopIteration, AttributeError, TableError):
        raise _nowhere(address, _nearest(kind, rest, ground)) from None


def _nowhere(address: str, remedy: str) -> InputError:
    return InputError(Fault("nothing has this address", "why", address, remedy))


def _nearest(kind: str, rest: str, ground: Ground) -> str:
    """What to ask instead: the names nearest to what was typed."""
    if kind == "event":
        last = max((e.serial for e in ground.events), default=0)
        return f"The record has entries 1 to {last}."
    rows = ground.tables.rows
    table, _, row = rest.partition("/")
    known = {
        "label": [one.key for one in ground.plot.shelf],
        "rule": list(rows["rules"]),
        "table": [f"{table}/{key}" for key in rows[table]] if table in rows else list(rows),
        "plot": [f"{name}/{one.key}" for name, held in _shelves(ground).items() for one in held],
    }.get(kind, [])
    wanted = f"{table}/{row.partition('/')[0]}" if row and table in rows else rest
    near = difflib.get_close_matches(wanted, known, n=3, cutoff=0.4) or sorted(known)[:5]
    return f"Nearest: {', '.join(f'{kind}:{name}' for name in near)}." if near else ""


def _entry(rest: str, ground: Ground) -> str:
    event = next(e for e in ground.events if e.serial == int(rest))
    return f"{entry_words(event, ground.plot, ground.tables)}{_fate(event, ground.events)}"


def _fate(event: Event, events: Iterable[Event]) -> str:
    """Whether the entry was taken back or put right since, and by which entry."""
    by = next((later for later in events if later.supersedes == event.id), None)
    if by is None:
        return ""
    if isinstance(by.payload, Withdrawal):
        why = f": {by.payload.why}" if by.payload.why else ""
        return f" (WITHDRAWN by entry {by.serial}{why})"
    return f" (corrected by entry {by.serial}{_fate(by, events)})"


def _reading(rest: str, ground: Ground) -> str:
    day = date.fromisoformat(rest)
    record = ground.record
    if record is None or not 0 <= record.at(day) < record.n_days:
        return f"weather of {rest}: not measured; from the futures"
    n = record.at(day)
    filled = " (filled)" if record.filled[n] else ""
    return (
        f"weather of {rest}: {measure(round(float(record.t_min[n]), 1), 'C')} to "
        f"{measure(round(float(record.t_max[n]), 1), 'C')}, "
        f"{measure(round(float(record.rain[n]), 1), 'mm')} of rain{filled}"
    )


def _figure(rest: str, ground: Ground) -> str:
    table, row_id, *column = rest.split("/", 2)
    row = ground.tables.rows[table][row_id]
    if not column:
        return f"table {table}, row {row_id}"
    where = f"table {table}, {row_id}, {column[0]}"
    figure = row.find(column[0])
    if figure is not None:
        return f"{where}: {_value(figure)}; {_origin(figure.origin, ground)}"
    text = row.texts.get(column[0])
    if text is not None:
        return f"{where}: {text.value}; {_origin(text.origin, ground)}"
    below = row.under(column[0])
    shown = ", ".join(f"{k} {_value(f)}" for k, f in list(below.items())[:6])
    return f"{where}: {shown or 'no such column'}"


def _label(rest: str, ground: Ground) -> str:
    key, *path = rest.split("/")
    label: Any = next(label for label in ground.plot.shelf if label.key == key)
    name, where = label.name, ""
    if len(path) == 2:
        where = f" for {ground.tables.crosswalk.named(path[0])}"
        label = label.limits_for(path[0])
    column = path[-1] if path else "name"
    value = getattr(label, column)
    if column == "crops":
        shown = ", ".join(ground.tables.crosswalk.named(one.crop) for one in value) or "none"
    else:
        shown = _line(value, column) if isinstance(value, LabelLine) else _plain(value)
    line = LINE_NAMES.get(column, column.replace("_", " "))
    return f"label of {name}{where}, {line}: {shown} (as you copied it)"


def _line(line: LabelLine[Any], column: str) -> str:
    words = f' ("{line.words}")' if line.words else ""
    if line.state != "value":
        return LINE_STATES[line.state] + words
    for end, unit in LINE_UNITS.items():
        if column.endswith(end) and line.value is not None:
            return f"{line.value:g} {unit}{words}"
    return f"{_plain(line.value)}{words}"


def _rule(rest: str, ground: Ground) -> str:
    row = ground.tables.rows["rules"].get(rest)
    if row is None:
        raise KeyError(rest)
    return f"our rule on {rest.replace('_', ' ')}: {row.words('text')}"


def _shelves(ground: Ground) -> dict[str, tuple[Any, ...]]:
    plot = ground.plot
    return {"planting": plot.plantings, "lot": plot.lots, "bed": plot.beds}


def _plot(rest: str, ground: Ground) -> str:
    section, _, key = rest.partition("/")
    held = _shelves(ground).get(section)
    if held is None:
        return _own_section(section, key, ground)
    item = next(one for one in held if one.key == key)
    if isinstance(item, Bed):
        words = (
            f"{item.name}, {measure(item.length_m, 'm')} by {measure(item.width_m, 'm')}, "
            f"{item.texture}{', mulched' if item.mulched else ''}"
        )
        return f"plot.toml: {words}"
    crop = ground.tables.crosswalk.named(item.crop, item.plants)
    name = getattr(item, "name", "cups")
    began = [
        f"{verb} {short(day)} {day.year}"
        for verb, day in (("sown", item.sown), ("set out", getattr(item, "set_out", None)))
        if day is not None
    ]
    vigour = [item.vigour] if isinstance(item, Planting) else []
    return f"plot.toml: {name}, {', '.join([f'{item.plants} {crop}', *began, *vigour])}"


def _own_section(section: str, key: str, ground: Ground) -> str:
    """A line of a section that stands once: the place, water, or the garden's own rules."""
    plot = ground.plot
    held = {"place": plot.place, "water": plot.water, "rules": plot.rules}[section]
    value = getattr(held, key)
    shown = {True: "yes", False: "no, or not written down"}.get(value, _plain(value))
    return f"plot.toml: {section}, {key.replace('_', ' ')}: {shown}"


def _computed(rest: str, _: Ground) -> str:
    return f"worked out: {rest}"


def _value(figure: Figure) -> str:
    spread = ""
    if figure.low is not None or figure.high is not None:
        low, high = figure.span
        spread = f" ({low:g} to {high:g})"
    unit = "" if figure.unit in ("1", "") else f" {figure.unit}"
    return f"{figure.value:g}{unit}{spread}"


def _origin(origin: Provenance, ground: Ground) -> str:
    source = ground.tables.sources.get(origin.source)
    cite = f": {source.cite}" if source is not None else ""
    seen = "" if origin.standing != "published" else f", seen: {origin.seen}"
    return f"{origin.standing}{seen}{cite}"


def _plain(value: object) -> str:
    if isinstance(value, (tuple, list)):
        return " and ".join(str(v) for v in value)
    return str(value)


READERS = {
    "event": _entry,
    "reading": _reading,
    "table": _figure,
    "label": _label,
    "rule": _rule,
    "plot": _plot,
    "computed": _computed,
}
