"""Tables of the plot's own folder: they add rows and choose among rivals, and loosen no rule."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from lattermath.knowledge.cells import read_cell
from lattermath.knowledge.columns import Columns, columns
from lattermath.knowledge.reading import Standard
from lattermath.knowledge.rivals import Rival, place, take
from lattermath.knowledge.rows import Row, read_row
from lattermath.knowledge.sources import read_sources
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure

PARTS = {"sources", "row", "default", "figure", "words"}


def lay_over(standard: Standard, folder: Path) -> Standard:
    """The standard tables with the plot's own laid over them, in the order of the file names.

    Raises TableError, naming the file, for an unreadable file, an unknown part, a row that exists
    already, a choice without its reason, and anything that would touch a hard rule.
    """
    total = hashlib.sha256(standard.digest.encode())
    laid = standard
    for path in sorted(folder.glob("*.toml")):
        text = path.read_bytes()
        total.update(f"{path.name} {len(text)}\n".encode() + text)
        try:
            laid = _lay(laid, _parse(path.name, text), path.name)
        except TableError as error:
            raise TableError(_in_file(fault, path.name) for fault in error.faults) from error
    return laid if laid is standard else replace(laid, digest=total.hexdigest())


def _in_file(fault: Fault, name: str) -> Fault:
    named = fault.where.startswith(name)
    return fault if named else replace(fault, where=f"{name}: {fault.where}")


def _parse(name: str, text: bytes) -> Mapping[str, Any]:
    try:
        raw = tomllib.loads(text.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise TableError(
            Fault("not readable as TOML", name, str(fault), "Mend the file.")
        ) from fault
    if wrong := sorted(raw.keys() - PARTS):
        parts = ", ".join(sorted(PARTS))
        raise TableError(Fault("unknown part", name, ", ".join(wrong), f"Parts are {parts}."))
    return raw


def _lay(standard: Standard, raw: Mapping[str, Any], name: str) -> Standard:
    own = read_sources(raw.get("sources", {}))
    if twice := sorted(own.keys() & standard.sources.keys()):
        raise TableError(Fault("a source of this key exists", name, twice[0], "Use another key."))
    sources = {**standard.sources, **own}
    tables = {table: dict(rows) for table, rows in standard.tables.items()}
    known = set(sources)
    for entry in _entries(raw, "row", name):
        _add_row(tables, entry, known, name)
    for entry in _entries(raw, "default", name):
        _choose(tables, standard.rivals, entry, name)
    for entry in _entries(raw, "figure", name):
        _set_figure(tables, entry, known, name)
    crosswalk = _add_words(standard.crosswalk, raw.get("words", {}), name)
    return replace(standard, tables=tables, sources=sources, crosswalk=crosswalk)


def _entries(raw: Mapping[str, Any], part: str, name: str) -> Sequence[Mapping[str, Any]]:
    entries = raw.get(part, [])
    if not isinstance(entries, list) or not all(isinstance(e, Mapping) for e in entries):
        raise TableError(Fault(f"write [[{part}]], one block each", name, part))
    return entries


def _columns(entry: Mapping[str, Any], name: str) -> Columns:
    found = columns().get(str(entry.get("table")))
    if found is None:
        tables = ", ".join(sorted(columns()))
        raise TableError(Fault("no such table", name, str(entry.get("table")), f"One of {tables}."))
    return found


def _add_row(
    tables: Mapping[str, dict[str, Row]], entry: Mapping[str, Any], known: set[str], name: str
) -> None:
    kinds = _columns(entry, name)
    row = read_row({k: v for k, v in entry.items() if k != "table"}, kinds, known, name)
    if row.id in tables[kinds.table]:
        remedy = "Rows are added here; to change a figure use [[default]] or [[figure]]."
        raise TableError(Fault("this row exists already", f"{name}: {kinds.table}", row.id, remedy))
    tables[kinds.table][row.id] = row


def _row_to_change(
    tables: Mapping[str, dict[str, Row]], entry: Mapping[str, Any], name: str
) -> Row:
    kinds = _columns(entry, name)
    row = tables[kinds.table].get(str(entry.get("row")))
    if row is None:
        raise TableError(Fault("no such row", f"{name}: {kinds.table}", str(entry.get("row"))))
    if row.hard:
        remedy = "Hard rules bind every plot; the garden's own rules in plot.toml can only add."
        raise TableError(Fault("a hard rule is never changed", f"{name}: rules", row.id, remedy))
    if not str(entry.get("reason", "")).strip():
        remedy = "Say in `reason` why this figure is used here."
        raise TableError(Fault("a choice needs its reason", f"{name}: {row.id}", "", remedy))
    return row


def _choose(
    tables: Mapping[str, dict[str, Row]],
    rivals: Sequence[Rival],
    entry: Mapping[str, Any],
    name: str,
) -> None:
    row = _row_to_change(tables, entry, name)
    group = [r for r in rivals if (r.table, r.row) == (row.table, row.id)]
    chosen = next((r for r in group if r.name == entry.get("rival")), None)
    if chosen is None:
        names = ", ".join(r.name for r in group) or "none"
        where = f"{name}: {row.table}/{row.id}"
        raise TableError(
            Fault("no such rival", where, str(entry.get("rival")), f"Rivals here: {names}.")
        )
    tables[row.table][row.id] = take(row, chosen.takes, str(entry["reason"]))


def _set_figure(
    tables: Mapping[str, dict[str, Row]], entry: Mapping[str, Any], known: set[str], name: str
) -> None:
    row = _row_to_change(tables, entry, name)
    column = str(entry.get("column"))
    figure = read_cell(entry.get("cell"), _columns(entry, name), row.id, column, known)
    if not isinstance(figure, Figure):
        raise TableError(Fault("a figure is wanted here", f"{name}: {row.id}/{column}"))
    tables[row.table][row.id] = place(row, column, figure, str(entry["reason"]))


def _add_words(
    crosswalk: Mapping[str, Any], words: Mapping[str, Any], name: str
) -> Mapping[str, Any]:
    if wrong := sorted(words.keys() - {"hosts", "crops", "organisms", "diseases", "methods"}):
        raise TableError(Fault("no such list of words", name, ", ".join(wrong)))
    for part, own in words.items():
        if twice := sorted(own.keys() & crosswalk[part].keys()):
            remedy = "New words are added here; a standard one keeps its meaning."
            raise TableError(
                Fault("this word has a meaning already", f"{name}: {part}", twice[0], remedy)
            )
    return {**crosswalk, **{part: {**crosswalk[part], **own} for part, own in words.items()}}
