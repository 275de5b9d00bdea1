"""Walks one row of a trade file and gives its leaves as raw cells; nothing is dropped silently."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from lattermath.knowledge.cells import MIDDLE_OURS
from lattermath.knowledge.columns import without_positions

PROVENANCE_KEYS = ("src", "source", "status", "source_qualitative")
MAIN_KEYS = ("v", "value", "range", "text", "lo", "hi", "note", "unit")
# Pairs and triples that are not [low, high] or [low, middle, high], by column with [n] made [].
TRIPLES = re.compile(r"^(ensemble_days\..*|efficacy\[\]\.pct)$")
NOT_A_RANGE = {
    "yield_vs_audpc",
    "yield_vs_had",
    "night_fan_effect",
    "hutton",
    "tomato_fail",
    "wetness_h_by_temp[]",
    "t_opt_g_orontii_c",
    "instar_dd.bases",
    "instar_dd.dd",
    "larva_instar_days_19c.d",
    "nonlinear.egg",
    "nonlinear.larva1",
    "nonlinear.larva2",
    "nonlinear.larva3",
    "nonlinear.larva4",
}


@dataclass(slots=True)
class Raw:
    """One leaf of a trade file, before its provenance is judged. `stated` counts its numbers."""

    path: str
    value: float | str
    low: float | None = None
    high: float | None = None
    note: str = ""
    said: Any = None  # provenance as the trade file has it
    stated: int = 1
    merged: int = 0  # strings of the trade file that went into the note

    @property
    def is_text(self) -> bool:
        """True for words, False for a number."""
        return isinstance(self.value, str)


def row_leaves(row: Mapping[str, Any]) -> Iterator[Raw]:
    """All leaves of a whole row; the row's own provenance speaks for leaves without any."""
    said = provenance_of(row)
    for key, child in row.items():
        if key not in PROVENANCE_KEYS and not key.endswith(("_src", "_source")):
            yield from _child("", row, key, child, said)


def is_number(value: Any) -> bool:
    """True for an int or float that is not a bool."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def provenance_of(row: Mapping[str, Any]) -> Any:
    """The provenance a table carries itself, or None."""
    if "status" in row:
        return {"status": row["status"], "source": row.get("source", row.get("basis", ""))}
    return row.get("src", row.get("source"))


def side_provenance(row: Mapping[str, Any], key: str) -> Any:
    """Provenance given beside a value as `<start of its name>_src`; the longest start wins."""
    starts = [k for k in row if k.endswith(("_src", "_source"))]
    fits = [k for k in starts if key.startswith(k.rsplit("_", 1)[0])]
    return row[max(fits, key=len)] if fits else None


def leaves(path: str, value: Any, said: Any) -> Iterator[Raw]:
    """All leaves under `path`. Numbers keep low and high where the file gives them."""
    if isinstance(value, Mapping):
        yield from _table(path, value, said)
    elif isinstance(value, list):
        yield from _list(path, value, said)
    elif is_number(value):
        yield Raw(path, float(value), said=said)
    else:
        words = {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
        if words:  # an empty string says nothing: an absence
            yield Raw(path, str(words), said=said)


def _table(path: str, row: Mapping[str, Any], said: Any) -> Iterator[Raw]:
    own = provenance_of(row)
    said = said if own is None else own
    main = _main(path, row, said)
    if main:
        printed = f"printed as: {row['unit']}" if "unit" in row else ""
        note = " | ".join(part for part in (str(row.get("note", "")), printed) if part)
        main[0].note = "; ".join(part for part in (main[0].note, note) if part)
        main[0].merged += bool(row.get("note")) + bool(row.get("unit"))
    yield from main
    taken = MAIN_KEYS if main else ()
    for key, child in row.items():
        if key in taken or key in PROVENANCE_KEYS or key.endswith(("_src", "_source")):
            continue
        if key == "basis" and "status" in row:
            continue
        yield from _child(path, row, key, child, said)


def _child(path: str, row: Mapping[str, Any], key: str, child: Any, said: Any) -> Iterator[Raw]:
    base = re.sub(r"_(lo|hi)$", "", key)
    if base != key and f"{base}_lo" in row and f"{base}_hi" in row:
        if key.endswith("_lo") and base not in row:
            yield _ranged(join(path, base), None, row[f"{base}_lo"], row[f"{base}_hi"], said)
        return
    if f"{key}_lo" in row and f"{key}_hi" in row:
        yield _ranged(join(path, key), child, row[f"{key}_lo"], row[f"{key}_hi"], said)
        return
    beside = side_provenance(row, key)
    yield from leaves(join(path, key), child, said if beside is None else beside)


def join(path: str, key: str) -> str:
    """A dotted path."""
    return f"{path}.{key}" if path else key


def _main(path: str, row: Mapping[str, Any], said: Any) -> list[Raw]:
    value = row.get("v", row.get("value", row.get("text")))
    low, high = row.get("lo"), row.get("hi")
    if "range" in row:
        low, high = row["range"]
    if isinstance(value, dict | list | str | bool):
        return list(leaves(path, value, said))
    if value is None and (low is None or high is None):
        return []
    return [_ranged(path, value, low, high, said)]


def _ranged(path: str, value: Any, low: Any, high: Any, said: Any) -> Raw:
    stated = sum(x is not None for x in (value, low, high))
    note = ""
    if value is None:
        value, note = (low + high) / 2, MIDDLE_OURS
    ends = [None if x is None else float(x) for x in (low, high)]
    return Raw(path, float(value), ends[0], ends[1], note, said, stated)


def _list(path: str, items: list[Any], said: Any) -> Iterator[Raw]:
    column = without_positions(path)
    if items and all(map(is_number, items)) and column not in NOT_A_RANGE:
        if len(items) == 2 and items[0] <= items[1]:
            yield _ranged(path, None, items[0], items[1], said)
            return
        if len(items) == 3 and TRIPLES.match(column):
            yield _ranged(path, items[1], items[0], items[2], said)
            return
        if not column.startswith("nonlinear_days."):
            raise ValueError(f"{path}: a list of {len(items)} numbers nobody explained: {items}")
    for n, item in enumerate(items):
        yield from leaves(f"{path}[{n}]", item, said)


def count_numbers(value: Any) -> int:
    """Numbers anywhere under `value`, counted without the walker's rules."""
    if isinstance(value, Mapping):
        return sum(count_numbers(child) for child in value.values())
    if isinstance(value, list):
        return sum(count_numbers(child) for child in value)
    return int(is_number(value))


def count_words(value: Any, key: str = "") -> int:
    """Strings and yes/no values under `value`, leaving out what says where a number came from."""
    if key in (*PROVENANCE_KEYS, "basis") or key.endswith(("_src", "_source")):
        return 0
    if isinstance(value, Mapping):
        return sum(count_words(child, name) for name, child in value.items())
    if isinstance(value, list):
        return sum(count_words(child) for child in value)
    return int(isinstance(value, bool) or (isinstance(value, str) and bool(value)))
