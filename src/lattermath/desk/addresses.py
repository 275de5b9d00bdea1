"""Unfolds the address a reason rests on: journal entry, reading, table figure, label line, rule."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import TableError
from lattermath.vocabulary.events import Event, Withdrawal
from lattermath.vocabulary.figure import Figure, Provenance
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.plot import Plot
from lattermath.weather.daily_record import DailyRecord

LINE_STATES = {
    "none": "the label gives none (you looked)",
    "not copied": "not copied from the label",
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
    kind, _, rest = address.partition(":")
    reader = READERS.get(kind)
    if reader is None:
        return address
    try:
        return reader(rest, ground)
    except (KeyError, ValueError, IndexError, StopIteration, TableError):
        return f"{address} (no longer there)"


def _entry(rest: str, ground: Ground) -> str:
    event = next(e for e in ground.events if e.serial == int(rest))
    told = {k: v for k, v in asdict(event.payload).items() if v not in (None, "", (), [])}
    words = ", ".join(f"{key} {_plain(value)}" for key, value in told.items())
    head = f"entry {event.serial}{_fate(event, ground.events)}, {said_with_hour(event.local)}"
    return f"{head}, {event.kind}: {words}".rstrip(": ")


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
        f"weather of {rest}: {record.t_min[n]:.1f} to {record.t_max[n]:.1f} C, "
        f"{record.rain[n]:.1f} mm{filled}"
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
    name = label.name
    if len(path) == 2:
        label = label.limits_for(path[0])
    value = getattr(label, path[-1]) if path else label.name
    shown = _line(value) if isinstance(value, LabelLine) else _plain(value)
    return f"label of {name}, {' '.join(path).replace('_', ' ')}: {shown}"


def _line(line: LabelLine[Any]) -> str:
    words = f' ("{line.words}")' if line.words else ""
    if line.state == "value":
        return f"{line.value}{words}"
    return LINE_STATES[line.state] + words


def _rule(rest: str, ground: Ground) -> str:
    row = ground.tables.rows["rules"].get(rest)
    return f"rule {rest}" if row is None else f"rule {rest}: {row.words('text')}"


def _plot(rest: str, ground: Ground) -> str:
    section, _, key = rest.partition("/")
    shelf: dict[str, tuple[Any, ...]] = {
        "planting": ground.plot.plantings,
        "lot": ground.plot.lots,
        "bed": ground.plot.beds,
    }
    for item in shelf.get(section, ()):
        if item.key == key:
            told = {k: v for k, v in asdict(item).items() if v not in (None, "", (), 0, False)}
            return f"plot.toml, {section} {key}: " + ", ".join(
                f"{k} {_plain(v)}" for k, v in told.items() if k not in ("key", "name")
            )
    return f"plot.toml, {section} {key}".rstrip()


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
