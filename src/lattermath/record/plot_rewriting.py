"""Change single values and tables of a plot file's text; all else stays as the grower wrote it.

Nothing is trusted to have gone well: the new text is read by the standard library's reader, and
has to say exactly what was meant and to hold every comment that the old one held. Otherwise it is
refused, and the old text stands.
"""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from lattermath.record.plot_lines import (
    Path,
    Statement,
    comments_of,
    lines_of,
    statements,
    value_from,
)
from lattermath.vocabulary.errors import Fault, PlotFileError

Address = tuple[str | int, ...]
"""Names and row numbers from 0, as in ("planting", 2, "sown"); a row is ("planting", 2)."""
BY_HAND = "Change it in plot.toml itself; nothing was written."


@dataclass(frozen=True, slots=True)
class Change:
    """Put a value at an address, or take away what stands there where it is None.

    A value may be a number, text, a day, yes or no, a list, or a table of these. A row numbered as
    many as there are is added at the end of its kind.
    """

    at: Address
    value: Any


def rewritten(text: str, changes: Sequence[Change]) -> str:
    """The text with the changes made, one after the other.

    PlotFileError where the text is no TOML, or where a change cannot be made without touching
    anything else.
    """
    try:
        wanted = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        remedy = "Mend that line in the file; the form of the file is TOML."
        told = Fault("the file cannot be read", "plot.toml", str(fault), remedy)
        raise PlotFileError(told) from fault
    windows = "\r\n" in text and "\n" not in text.replace("\r\n", "")
    made = text.replace("\r\n", "\n") if windows else text
    for change in changes:
        wanted = _meant(wanted, change)
        made = _tried(made, change)
        _check(text, made, wanted, change)
    return made.replace("\n", "\r\n") if windows else made


def _meant(document: dict[str, Any], change: Change) -> dict[str, Any]:
    """What the document should say after the change."""
    wanted = copy.deepcopy(document)
    inside: Any = wanted
    *way, last = change.at
    for n, part in enumerate(way):
        after = change.at[n + 1]
        if isinstance(part, str):
            if change.value is None and part not in inside:
                return wanted
            inside = inside.setdefault(part, [] if isinstance(after, int) else {})
        else:
            inside = inside[part]
    if isinstance(last, int):
        if change.value is None:
            del inside[last]
            if not inside:
                _drop_empty(wanted, way)
        else:
            inside[last : last + 1] = [change.value]
    elif change.value is None:
        taken = inside.pop(last, None)
        if isinstance(taken, dict) and not inside:
            _drop_empty(wanted, way)
    else:
        inside[last] = change.value
    return wanted


def _drop_empty(document: dict[str, Any], way: list[str | int]) -> None:
    inside: Any = document
    for part in way[:-1]:
        inside = inside[part]
    del inside[way[-1]]


def _tried(text: str, change: Change) -> str:
    try:
        return _changed(text, change)
    except (ValueError, LookupError) as fault:
        raise _refusal(change) from fault


def _check(old: str, new: str, wanted: dict[str, Any], change: Change) -> None:
    """Refuse a text that says anything else, or lost a comment."""
    try:
        read = tomllib.loads(new)
    except tomllib.TOMLDecodeError as fault:
        raise _refusal(change) from fault
    lost = Counter(comments_of(old.replace("\r\n", "\n"))) - Counter(comments_of(new))
    if read != wanted or lost:
        raise _refusal(change)


def _refusal(change: Change) -> PlotFileError:
    where = ".".join(str(part + 1) if isinstance(part, int) else part for part in change.at)
    what = "a page cannot write this without touching what you wrote yourself"
    return PlotFileError(Fault(what, f"plot.toml: {where}", "", BY_HAND))


def _changed(text: str, change: Change) -> str:
    lines = lines_of(text)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    found = statements(lines)
    *way, last = change.at
    if isinstance(last, int):
        path = tuple(str(part) for part in way)
        return "".join(_with_row(lines, found, path, last, change.value))
    if isinstance(change.value, dict) and "value" not in change.value:
        return "".join(_with_table(lines, found, change.at, change.value))
    if change.value is None and (there := _body(found, change.at)) is not None:
        return "".join(_without(lines, found, there))
    span = _body(found, tuple(way))
    if span is None:
        if change.value is None:
            return text
        return "".join(_with_table(lines, found, tuple(way), {last: change.value}))
    return "".join(_with_key(lines, found[span.start : span.stop], found, last, change.value))


def _body(found: list[Statement], address: Address) -> range | None:
    """Which statements are the table at an address: its header and keys; None where none is."""
    if not address:
        first = next((n for n, one in enumerate(found) if one.kind in ("table", "row")), len(found))
        return range(first)
    whole = _row_span(found, address)
    path = tuple(part for part in address if isinstance(part, str))
    for n in whole:
        one = found[n]
        if one.kind in ("table", "row") and one.path == path:
            inside = (m for m in range(n + 1, len(found)) if found[m].kind in ("table", "row"))
            return range(n, next(inside, len(found)))
    return None


def _row_span(found: list[Statement], address: Address) -> range:
    """The statements of the row that an address goes through, inner tables included."""
    span = range(len(found))
    path: Path = ()
    for part in address:
        if isinstance(part, str):
            path = (*path, part)
            continue
        heads = [n for n in span if found[n].kind == "row" and found[n].path == path]
        first = heads[part]
        after = heads[part + 1] if part + 1 < len(heads) else span.stop
        span = range(first, _end_of(found, first, after))
    return span


def _end_of(found: list[Statement], first: int, before: int) -> int:
    """Where the table that begins at `first` ends: at the next header that is not inside it."""
    path = found[first].path
    for n in range(first + 1, before):
        one = found[n]
        outside = one.path[: len(path)] != path or len(one.path) == len(path)
        if one.kind in ("table", "row") and outside:
            return n
    return before


def _last_said(found: list[Statement], span: range) -> int:
    """The line after the last key or header of these statements."""
    return max(found[n].end for n in span if found[n].kind not in ("empty", "comment"))


def _with_key(
    lines: list[str], body: list[Statement], found: list[Statement], key: str, value: Any
) -> list[str]:
    """The lines with one key of a table put, changed or taken away."""
    there = next((one for one in body if one.kind == "key" and one.path == (key,)), None)
    if there is not None:
        old = lines[there.first : there.end]
        return [*lines[: there.first], *_over(old, value), *lines[there.end :]]
    if value is None:
        return lines
    said = [one for one in body if one.kind != "comment" and one.kind != "empty"]
    at = said[-1].end if said else _above_first(lines, found)
    return [*lines[:at], f"{_name(key)} = {written(value)}\n", *lines[at:]]


def _above_first(lines: list[str], found: list[Statement]) -> int:
    """Where the first key of the file goes: above the first table and the comment on it."""
    heads = [one.first for one in found if one.kind in ("table", "row")]
    at = heads[0] if heads else len(lines)
    while at > 0 and lines[at - 1].strip().startswith("#"):
        at -= 1
    return at


def _over(old: list[str], value: Any) -> list[str]:
    """The lines of one key with another value in them; each comment stays."""
    text = "".join(old)
    comments = [f"{comment}\n" for comment in comments_of(text)]
    if value is None:
        return comments
    begins = value_from(old[0])
    line = f"{old[0][:begins]} {written(value)}"
    if len(old) == 1 and comments:
        at = len(text.rstrip()) - len(comments[0].rstrip())
        gap = text[:at][len(text[:at].rstrip()) :]
        return [f"{line}{gap}{comments[0]}"]
    return [*comments, f"{line}\n"]


def _with_row(
    lines: list[str], found: list[Statement], path: Path, number: int, value: Any
) -> list[str]:
    """The lines with one row of a kind added or taken out; what was taken out leaves comments."""
    heads = [n for n, one in enumerate(found) if one.kind == "row" and one.path == path]
    if value is None:
        return _without(lines, found, _row_span(found, (*path, number)))
    if number != len(heads):
        raise ValueError("a row that is there is changed key by key")
    new = ["\n", *_table(path, value, row=True)]
    if not heads:
        return [*lines, *(new if lines else new[1:])]
    at = _last_said(found, _row_span(found, (*path, number - 1)))
    while at < len(lines) and lines[at].strip().startswith("#"):
        at += 1  # a comment right below it is still about it
    return [*lines[:at], *new, *lines[at:]]


def _without(lines: list[str], found: list[Statement], span: range) -> list[str]:
    """The lines without those of a table; its comments are left standing."""
    first, end = found[span.start].first, _last_said(found, span)
    left = [f"{comment}\n" for comment in comments_of("".join(lines[first:end]))]
    return [*lines[:first], *left, *lines[end:]]


def _with_table(
    lines: list[str], found: list[Statement], address: Address, value: Mapping[str, Any]
) -> list[str]:
    """The lines with a table that was not there."""
    if _body(found, address) is not None:
        raise ValueError("a table that is there is changed key by key")
    path = tuple(part for part in address if isinstance(part, str))
    new = ["\n", *_table(path, value)]
    if any(isinstance(part, int) for part in address):
        at = _last_said(found, _row_span(found, address))
        return [*lines[:at], *new, *lines[at:]]
    return [*lines, *(new if lines else new[1:])]


def _table(path: Path, value: Mapping[str, Any], row: bool = False) -> list[str]:
    head = ".".join(map(_name, path))
    lines = [f"[[{head}]]\n" if row else f"[{head}]\n"]
    inner = [(k, v) for k, v in value.items() if isinstance(v, dict) and "value" not in v]
    rows = [(k, v) for k, v in value.items() if _is_rows(v)]
    later = {key for key, _ in (*inner, *rows)}
    lines += [f"{_name(k)} = {written(v)}\n" for k, v in value.items() if k not in later]
    for key, table in inner:
        if all(isinstance(one, dict) and "value" not in one for one in table.values()):
            for name, one in table.items():
                lines += ["\n", *_table((*path, key, name), one)]
        else:
            lines += ["\n", *_table((*path, key), table)]
    for key, tables in rows:
        for one in tables:
            lines += ["\n", *_table((*path, key), one, row=True)]
    return lines


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def written(value: Any) -> str:
    """A value as TOML writes it on one line. ValueError for what no plot file holds."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        quoted = json.dumps(value, ensure_ascii=False)
        return quoted.replace("\x7f", "\\u007f")
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(written, value))}]"
    if isinstance(value, dict):
        return "{ " + ", ".join(_pairs(value)) + " }"
    raise ValueError(f"a plot file holds no {type(value).__name__}")


def _pairs(value: Mapping[str, Any]) -> Iterator[str]:
    return (f"{_name(key)} = {written(held)}" for key, held in value.items())


def _name(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else written(key)
