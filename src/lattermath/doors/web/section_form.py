"""One section of the set-up pages: tables as blanks, and a form as changes of the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from lattermath.desk.set_up import PlotText, Tried
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Box, Placed, boxes, changes, new_table
from lattermath.doors.web.set_up_sections import CHECKED, Part, Section
from lattermath.record.plot_file import row_keys
from lattermath.record.plot_rewriting import Change
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault


@dataclass
class Form:
    """What a form would change; for rows, the row of the form behind each row of the file."""

    changes: list[Change] = field(default_factory=list)
    order: dict[str, list[int]] = field(default_factory=dict)
    placed: Placed = field(default_factory=Placed)


def read(section: Section, filled: Filled, held: PlotText) -> Form:
    """The changes that a form asks for."""
    form = Form()
    for part in section.parts:
        if part.fresh:
            _read_rows(part, filled, held, form)
            continue
        table = table_at(held.document, part)
        if table and part.hangs_on and not filled.one(f"{part.prefix}.{part.hangs_on}"):
            form.changes.append(Change(part.table, None))
            continue
        asked = changes(part.asks, table, filled, part.prefix, part.table, held.us)
        form.changes += [one for one in asked if table or one.value is not None]
    return form


def _read_rows(part: Part, filled: Filled, held: PlotText, form: Form) -> None:
    rows = rows_at(held.document, part)
    kept = list(range(len(rows)))
    gone = []
    for n, row in enumerate(rows):
        if filled.one(f"{part.prefix}.{n}.out"):
            gone.append(n)
            kept.remove(n)
            continue
        prefix = f"{part.prefix}.{n}"
        form.changes += changes(part.asks, row, filled, prefix, (*part.table, n), held.us)
    added = len(rows)
    for n in range(len(rows), len(rows) + part.fresh):
        table = new_table(part.asks, filled, f"{part.prefix}.{n}", held.us)
        if table:
            form.changes.append(Change((*part.table, added), table))
            kept.append(n)
            added += 1
    # Rows are taken out last and from the end, so that the numbers before stay true.
    form.changes += [Change((*part.table, n), None) for n in reversed(gone)]
    form.order[part.prefix] = kept


def place_faults(section: Section, form: Form, tried: Tried, shown: Sequence[Box]) -> None:
    """Put each fault of the changed file beside the blank it is about."""
    names = [box.name for box in shown]
    for fault in tried.faults:
        where = fault.where.partition(": ")[2]
        named = _named(section, form, tried, where)
        near = [name for name in names if named == name or named.startswith(f"{name}.")]
        if near:
            form.placed.add(max(near, key=len), fault)
        elif any(named.startswith(f"{name.rpartition('.')[0]}.") for name in names):
            form.placed.add(_nearest_row(named, names), fault)
        else:
            form.placed.others.append(fault)


def _nearest_row(named: str, names: Sequence[str]) -> str:
    """The first blank of the row that a fault is about, where it is about no single blank."""
    return next(name for name in names if named.startswith(f"{name.rpartition('.')[0]}."))


def _named(section: Section, form: Form, tried: Tried, where: str) -> str:
    """The place of a fault with rows by their number in the form."""
    for part in section.parts:
        if not part.fresh or not where.startswith(f"{part.prefix}."):
            continue
        order = form.order.get(part.prefix, [])
        keys = (
            [str(n) for n in range(1, len(order) + 1)]
            if len(part.table) > 1
            else row_keys(tried.rows(*part.table))
        )
        rest = where.removeprefix(f"{part.prefix}.")
        key, _, inner = rest.partition(".")
        if key in keys and keys.index(key) < len(order):
            return f"{part.prefix}.{order[keys.index(key)]}.{inner}"
    return where


def table_at(document: Mapping[str, Any], part: Part) -> dict[str, Any]:
    """The one table of a part; empty where there is none."""
    held = document.get(part.table[0], {})
    return held if isinstance(held, dict) else {}


def rows_at(document: Mapping[str, Any], part: Part) -> list[dict[str, Any]]:
    """The rows of a part."""
    held: Any = document
    for name in part.table:
        held = held.get(name, {}) if isinstance(held, Mapping) else {}
    return [row for row in held if isinstance(row, dict)] if isinstance(held, list) else []


@dataclass(frozen=True, slots=True)
class ShownRow:
    """One row of a part: what it is called, its blanks, whether it is in the file."""

    n: int
    title: str
    boxes: tuple[Box, ...]
    there: bool
    out: bool
    open: bool


@dataclass(frozen=True, slots=True)
class ShownPart:
    """One part of a page."""

    part: Part
    boxes: tuple[Box, ...] = ()
    rows: tuple[ShownRow, ...] = ()


def shown(
    section: Section, held: PlotText, typed: Filled | None, options: Mapping[str, Any]
) -> Iterator[ShownPart]:
    """The parts of a page, as typed or else as the file has them.

    options : words to choose among, by key of the file.
    """
    for part in section.parts:
        if not part.fresh:
            table = table_at(held.document, part)
            made = boxes(part.asks, table, part.prefix, held.us, typed)
            yield ShownPart(part, tuple(with_options(made, options)))
            continue
        rows = rows_at(held.document, part)
        made_rows = []
        for n in range(len(rows) + part.fresh):
            there = n < len(rows)
            prefix = f"{part.prefix}.{n}"
            row = rows[n] if there else {}
            made = with_options(boxes(part.asks, row, prefix, held.us, typed), options)
            title = str(row.get("name") or row.get("crop") or row.get("food") or part.add)
            out = typed is not None and bool(typed.one(f"{prefix}.out"))
            opened = not there and ((not rows and n == 0) or any(box.values for box in made))
            kept = made if typed is not None else _asked_for(made)
            made_rows.append(ShownRow(n, title, tuple(kept), there, out, opened))
        yield ShownPart(part, (), tuple(made_rows))


def with_options(made: Sequence[Box], options: Mapping[str, Any]) -> list[Box]:
    """The blanks with words to choose among, where there are some for them."""
    return [
        replace(box, options=options[key])
        if (key := box.name.rpartition(".")[2]) in options
        else box
        for box in made
    ]


def with_faults(parts: Sequence[ShownPart], placed: Placed) -> list[ShownPart]:
    """The parts with each fault beside its blank; a row with a fault is open."""
    made = []
    for one in parts:
        rows = []
        for row in one.rows:
            told = tuple(_asked_for(placed.over(row.boxes)))
            opened = row.open or any(box.faults for box in told)
            rows.append(ShownRow(row.n, row.title, told, row.there, row.out, opened))
        made.append(ShownPart(one.part, tuple(placed.over(one.boxes)), tuple(rows)))
    return made


ASKS = f"{CHECKED} = true"  # in a remedy: what is only asked about


def _asked_for(row: Sequence[Box]) -> Iterator[Box]:
    """The blanks of a row; the tick that something odd is so only where that is asked."""
    asked = any(ASKS in fault.remedy for box in row for fault in box.faults)
    for box in row:
        if not box.name.endswith(f".{CHECKED}") or asked or box.values:
            told = (replace(one, remedy=_ticked(one.remedy)) for one in box.faults)
            yield replace(box, faults=tuple(told))


def _ticked(remedy: str) -> str:
    """A remedy in the page's own words."""
    return f"{remedy.partition('; or')[0]}; {u.OR_TICK}" if ASKS in remedy else remedy


def every_box(parts: Sequence[ShownPart]) -> list[Box]:
    """All blanks of a page."""
    return [
        box for one in parts for box in (*one.boxes, *(b for row in one.rows for b in row.boxes))
    ]


def to_mend(parts: Sequence[ShownPart]) -> list[tuple[str, str]]:
    """Name of each blank with a fault, and what is wrong with it."""
    return [
        (box.name, u.NAMED_FAULT.format(label=box.label, what=box.faults[0].what))
        for box in every_box(parts)
        if box.faults
    ]


def without_file_words(fault: Fault) -> Fault:
    """A fault as a page tells it."""
    return Fault(
        fault.what, fault.where.partition(": ")[2] or fault.where, fault.value, fault.remedy
    )


def offered(parts: Sequence[ShownPart], words: Mapping[str, str]) -> list[ShownPart]:
    """The parts with words of an offer in their blanks; nothing of it is written."""
    return [
        replace(
            one,
            boxes=tuple(
                replace(box, values=(words[box.name],)) if box.name in words else box
                for box in one.boxes
            ),
        )
        for one in parts
    ]
