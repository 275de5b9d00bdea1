"""Writes the tables in one shape: one cell a line, in the order of the trade file."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from lattermath.knowledge.making.dialects import Source
from lattermath.knowledge.making.rivals import MadeRival

HEAD = "# Made by knowledge/making/translate.py; a mend goes into its corrections.\n"


def write_table(path: Path, rows: Mapping[str, Mapping[str, Any]], hard: set[str]) -> None:
    """Write one table."""
    lines = [HEAD]
    for key, cells in rows.items():
        lines.append(f"[[row]]\nid = {quote(key)}")
        if key in hard:
            lines.append("hard = true")
        lines.append("[row.cells]")
        lines += [f"{name(column)} = {inline(cell)}" for column, cell in cells.items()]
        lines.append("")
    path.write_text("\n".join(lines), encoding="utf-8")


def write_sources(path: Path, sources: Mapping[str, Source]) -> None:
    """Write sources.toml: the citation and what was seen of it."""
    lines = [HEAD]
    for key, source in sources.items():
        cell = {"cite": source.cite, "kind": source.kind, "seen": source.seen, "said": source.said}
        lines.append(f"{name(key)} = {inline({k: v for k, v in cell.items() if v})}")
    path.write_text("\n".join([*lines, ""]), encoding="utf-8")


def write_rivals(path: Path, rivals: Sequence[MadeRival]) -> None:
    """Write the rival figures, one a line, the default of each row first."""
    lines = [HEAD, "rival = ["]
    for r in rivals:
        cell: dict[str, Any] = {"table": r.table, "row": r.row, "name": r.name, "takes": r.takes}
        if r.default:
            cell |= {"default": True, "reason": r.reason}
        lines.append(f"    {inline(cell)},")
    path.write_text("\n".join([*lines, "]", ""]), encoding="utf-8")


def write_counts(path: Path, counts: Mapping[str, Mapping[str, int | str]]) -> None:
    """Write the count of figures before and after, and the digest of each table."""
    lines = ["# Numbers and words of the trade files, and of the tables made from them.", ""]
    for table, count in sorted(counts.items()):
        lines.append(f"[{table}]")
        lines += [f"{key} = {inline(value)}" for key, value in count.items()]
        lines.append("")
    path.write_text("\n".join(lines), encoding="utf-8")


def name(key: str) -> str:
    """A TOML key, quoted where it must be."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else quote(key)


def quote(text: str) -> str:
    """A TOML string."""
    return json.dumps(text, ensure_ascii=False)


def inline(value: Any) -> str:
    """A TOML value; mappings as inline tables."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return f"{round(value, 6):g}" if abs(value) < 1e6 else repr(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{name(k)} = {inline(v)}" for k, v in value.items()) + " }"
    return quote(str(value))
