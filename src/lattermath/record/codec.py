"""Frozen records to plain JSON data and back, and entry payloads with their versions.

Only the standard library is used: a `log` command pays for this module at every start.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Callable, Hashable, Mapping
from datetime import date, datetime, time
from functools import cache
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin

from lattermath.vocabulary.errors import Fault, JournalError
from lattermath.vocabulary.events import KINDS, Payload

R = TypeVar("R")
Reader = Callable[[Any], Any]

_NOWHERE = dict.fromkeys(("latitude", "longitude", "altitude_m"))

VERSIONS: dict[str, int] = dict.fromkeys(KINDS, 1) | {
    "watering": 2,
    "sighting": 3,
    "weather taken": 2,
}
"""The version in which each kind is written today."""

UPCASTERS: dict[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {
    ("sighting", 1): lambda data: {**data, "days": 0},  # no card was logged yet
    ("sighting", 2): lambda data: data,  # leaves with some and with none were not logged yet
    ("watering", 1): lambda data: {**data, "way": None},  # nobody was asked
    ("weather taken", 1): lambda data: {**data, **_NOWHERE},  # where it was measured was not kept
}
"""(kind, version) to the function that lifts its data to the next version."""

_KIND_OF = {kind_type: kind for kind, kind_type in KINDS.items()}


def kind_of(payload: Payload) -> str:
    """The kind under which a payload is written."""
    return _KIND_OF[type(payload)]


def to_plain(value: Any) -> Any:
    """Plain JSON data of a record: every field by name, dates and times as ISO 8601 text."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): to_plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if value is None or isinstance(value, (str, int, float)):
        return value
    raise ValueError(f"{type(value).__name__} has no place in a record")


def from_plain(record: type[R], data: Mapping[str, Any]) -> R:
    """The record that plain data describes; a field that is absent takes its default.

    ValueError names the field that is unknown, missing or of another type.
    """
    result: R = _reader_of(cast(Hashable, record))(data)
    return result


def canonical(data: Any) -> str:
    """One text for one content: keys sorted, no spaces. NaN and infinities are refused."""
    return json.dumps(
        data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def encode(payload: Payload) -> str:
    """The canonical JSON text of a payload."""
    return canonical(to_plain(payload))


def decode(kind: str, version: int, text: str) -> Payload:
    """The payload of a stored entry, lifted to today's version on the way."""
    if kind not in KINDS or not 1 <= version <= VERSIONS[kind]:
        raise JournalError(
            Fault(
                "this kind of entry is not known to this program",
                "journal",
                f"{kind}, version {version}",
                "Use the newer program that wrote it; if there is none, run check.",
            )
        )
    data = json.loads(text)
    while version < VERSIONS[kind]:
        data = UPCASTERS[kind, version](data)
        version += 1
    payload: Payload = _reader_of(KINDS[kind])(data)
    return payload


@cache
def _reader_of(hint: Any) -> Reader:
    """A function that reads plain data as the hinted type."""
    origin = get_origin(hint)
    if origin is Literal:
        return _read_choice(get_args(hint))
    if origin in (Union, types.UnionType):
        return _read_union(get_args(hint))
    if origin is tuple:
        return _read_tuple(get_args(hint))
    if dataclasses.is_dataclass(origin or hint):
        return _read_record(hint)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return _read_simple(dict)
    if hint in (date, datetime, time):
        return lambda data: hint.fromisoformat(_of_type(str, data))
    if hint is float:
        return lambda data: float(_of_type((int, float), data))
    return _read_simple(hint)


def _of_type(wanted: type | tuple[type, ...], data: Any) -> Any:
    if not isinstance(data, wanted) or (isinstance(data, bool) and wanted is not bool):
        raise ValueError(f"{data!r} is of another type")
    return data


def _read_simple(wanted: type) -> Reader:
    return lambda data: _of_type(wanted, data)


def _read_choice(words: tuple[Any, ...]) -> Reader:
    def read(data: Any) -> Any:
        if data not in words:
            raise ValueError(f"{data!r} is none of {', '.join(map(str, words))}")
        return data

    return read


def _read_union(arms: tuple[Any, ...]) -> Reader:
    """Optional fields only: None, or the one type beside it."""
    (inner,) = (arm for arm in arms if arm is not types.NoneType)
    read_inner = _reader_of(inner)
    return lambda data: None if data is None else read_inner(data)


def _read_tuple(parts: tuple[Any, ...]) -> Reader:
    if parts[-1] is Ellipsis:
        read_item = _reader_of(parts[0])
        return lambda data: tuple(read_item(item) for item in _of_type(list, data))
    readers = [_reader_of(part) for part in parts]
    return lambda data: tuple(
        reader(item) for reader, item in zip(readers, _of_type(list, data), strict=True)
    )


def _read_record(hint: Any) -> Reader:
    record = get_origin(hint) or hint
    filled = dict(zip(getattr(record, "__parameters__", ()), get_args(hint), strict=False))
    hints = typing.get_type_hints(record)
    readers = {
        field.name: _reader_of(_fill(hints[field.name], filled))
        for field in dataclasses.fields(record)
    }

    def read(data: Any) -> Any:
        fields = {}
        for name, value in _of_type(Mapping, data).items():
            try:
                fields[name] = readers[name](value)
            except KeyError:
                raise ValueError(f"{record.__name__} has no field {name!r}") from None
            except (ValueError, TypeError) as fault:
                raise ValueError(f"{name}: {fault}") from fault
        try:
            return record(**fields)
        except TypeError as fault:
            raise ValueError(str(fault)) from fault

    return read


def _fill(hint: Any, filled: Mapping[Any, Any]) -> Any:
    """Put the named types of a generic record (`LabelLine[float]`) in place of its variables."""
    if isinstance(hint, TypeVar):
        return filled.get(hint, hint)
    if get_origin(hint) in (Union, types.UnionType):
        return Union[tuple(_fill(arm, filled) for arm in get_args(hint))]  # noqa: UP007
    return hint
