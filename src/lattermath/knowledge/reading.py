"""Reads the standard tables: the compiled copy where it is of this very text, else the TOML."""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from lattermath.knowledge.cells import Text
from lattermath.knowledge.columns import read_columns
from lattermath.knowledge.rivals import Rival, read_rivals
from lattermath.knowledge.rows import Row, read_rows
from lattermath.knowledge.sources import Source, read_sources
from lattermath.vocabulary.figure import Figure, Provenance

APART = ("rivals", "crosswalk")  # files of the tables folder that hold no rows of cells
COMPILED = "compiled.json"


@dataclass(frozen=True, slots=True)
class Standard:
    """The standard tables as rows, with what stands beside them and the digest of their text."""

    tables: Mapping[str, Mapping[str, Row]]
    sources: Mapping[str, Source]
    rivals: tuple[Rival, ...]
    crosswalk: Mapping[str, Any]
    digest: str


@cache
def standard() -> Standard:
    """The standard tables, read once a process."""
    texts = table_texts()
    digest = digest_of(texts)
    copy = files("lattermath.knowledge") / COMPILED
    if copy.is_file():
        packed = json.loads(copy.read_bytes())
        if packed["digest"] == digest:
            return unpack(packed)
    return read_texts(texts, digest)


def table_texts() -> dict[str, bytes]:
    """The text of every table file, with sources and columns, by name."""
    room = files("lattermath.knowledge")
    found = {
        entry.name.removesuffix(".toml"): entry.read_bytes()
        for entry in (room / "tables").iterdir()
        if entry.name.endswith(".toml")
    }
    for name in ("sources", "columns"):
        found[name] = (room / f"{name}.toml").read_bytes()
    return dict(sorted(found.items()))


def digest_of(texts: Mapping[str, bytes]) -> str:
    """SHA-256 over the table texts in name order."""
    total = hashlib.sha256()
    for name, text in sorted(texts.items()):
        total.update(f"{name} {len(text)}\n".encode())
        total.update(text)
    return total.hexdigest()


def read_texts(texts: Mapping[str, bytes], digest: str) -> Standard:
    """The tables from their written form, every cell checked; TableError names what is wrong."""
    raw = {name: tomllib.loads(text.decode("utf-8")) for name, text in texts.items()}
    kinds = read_columns(raw["columns"])
    sources = read_sources(raw["sources"])
    tables = {
        name: read_rows(raw[name]["row"], kinds[name], set(sources))
        for name in raw
        if name in kinds and name not in APART
    }
    rivals = read_rivals(raw["rivals"]["rival"])
    return Standard(tables, sources, rivals, raw["crosswalk"], digest)


def pack(tables: Standard) -> dict[str, Any]:
    """The tables as plain data in few bytes; origins and units are kept once."""
    origins: dict[tuple[str, ...], int] = {}
    packed = {
        name: [
            [row.id, row.hard, [_figure(c, f, origins) for c, f in row.figures.items()],
             [[c, t.value, _origin(t.origin, origins)] for c, t in row.texts.items()]]
            for row in rows.values()
        ]
        for name, rows in tables.tables.items()
    }  # fmt: skip
    return {
        "digest": tables.digest,
        "origins": [list(origin) for origin in origins],
        "tables": packed,
        "sources": [[s.key, s.cite, s.kind, s.seen, s.said] for s in tables.sources.values()],
        "rivals": [[r.table, r.row, r.name, dict(r.takes), r.default, r.reason]
                   for r in tables.rivals],
        "crosswalk": tables.crosswalk,
    }  # fmt: skip


def _figure(column: str, f: Figure, origins: dict[tuple[str, ...], int]) -> list[Any]:
    return [column, f.value, f.low, f.high, f.unit, _origin(f.origin, origins)]


def _origin(origin: Provenance, origins: dict[tuple[str, ...], int]) -> int:
    parts = (origin.standing, origin.seen, origin.source, origin.locator, origin.note)
    return origins.setdefault(parts, len(origins))


def unpack(packed: Mapping[str, Any]) -> Standard:
    """The tables from packed data. They were checked when packed, so cells are not read again."""
    origins = [Provenance(*parts) for parts in packed["origins"]]
    tables: dict[str, dict[str, Row]] = {}
    for name, rows in packed["tables"].items():
        tables[name] = {}
        for key, hard, figures, texts in rows:
            at = f"{name}/{key}/"
            tables[name][key] = Row(
                name,
                key,
                {c: Figure(v, lo, hi, u, origins[o], at + c) for c, v, lo, hi, u, o in figures},
                {c: Text(t, origins[o], at + c) for c, t, o in texts},
                hard,
            )
    sources = {entry[0]: Source(*entry) for entry in packed["sources"]}
    rivals = tuple(Rival(*entry) for entry in packed["rivals"])
    return Standard(tables, sources, rivals, packed["crosswalk"], packed["digest"])
