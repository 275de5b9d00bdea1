"""The lines of a plot file's text: which statement stands where, and which comments.

Only what a page needs to change a file without touching the rest of it. The text is valid TOML;
what a statement means is asked of the standard library's reader, never worked out here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

Kind = Literal["empty", "comment", "table", "row", "key"]
Path = tuple[str, ...]
# A string of any of the four kinds, or a comment: a mark within a string begins no comment.
_STRING_OR_COMMENT = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|(?P<comment>#[^\n]*)',
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Statement:
    """Lines `first` up to, not with, `end`, and what they are.

    path : of a header, its table; of a key, the key within its table.
    """

    kind: Kind
    first: int
    end: int
    path: Path = ()


def lines_of(text: str) -> list[str]:
    """The lines with their ends, joined again by `"".join`."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def statements(lines: list[str]) -> list[Statement]:
    """Every statement of valid TOML, in order, without gaps. ValueError where it is not valid.

    A statement ends at the first line at which it can be read by itself: no beginning of an array
    or a string of several lines can be.
    """
    found = []
    first = 0
    while first < len(lines):
        one = _statement(lines, first)
        found.append(one)
        first = one.end
    return found


def _statement(lines: list[str], first: int) -> Statement:
    start = lines[first].strip()
    if not start:
        return Statement("empty", first, first + 1)
    if start.startswith("#"):
        return Statement("comment", first, first + 1)
    for end in range(first + 1, len(lines) + 1):
        try:
            read = tomllib.loads("".join(lines[first:end]))
        except tomllib.TOMLDecodeError:
            continue
        if start.startswith("[["):
            return Statement("row", first, end, _only_path(read))
        if start.startswith("["):
            return Statement("table", first, end, _only_path(read))
        return Statement("key", first, end, _key_path(lines[first]))
    raise ValueError(f"line {first + 1} begins what does not end")


def _only_path(read: dict[str, Any]) -> Path:
    """The path of a header that was read by itself."""
    path: list[str] = []
    inside: Any = read
    while inside:
        if isinstance(inside, list):
            inside = inside[0]
            continue
        name = next(iter(inside))
        path.append(name)
        inside = inside[name]
    return tuple(path)


def value_from(line: str) -> int:
    """Where the sign after a key ends: the value begins behind it."""
    for found in re.finditer("=", line):
        try:
            tomllib.loads(line[: found.start()] + "= 0")
        except tomllib.TOMLDecodeError:
            continue
        return found.end()
    raise ValueError("no key stands here")


def _key_path(line: str) -> Path:
    read: Any = tomllib.loads(line[: value_from(line)] + " 0")
    path: list[str] = []
    while isinstance(read, dict):
        name = next(iter(read))
        path.append(name)
        read = read[name]
    return tuple(path)


def comments_of(text: str) -> Iterator[str]:
    """Every comment, from its mark to the end of its line."""
    for found in _STRING_OR_COMMENT.finditer(text):
        if found["comment"] is not None:
            yield found["comment"].rstrip()
