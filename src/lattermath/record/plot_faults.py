"""What is wrong in one table of plot.toml, said with place, value and remedy."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Sequence
from datetime import date, time
from typing import Any

from pydantic import BaseModel, ValidationError

from lattermath.record.plot_units import METRIC_NAMES, UnitDoor
from lattermath.record.plot_words import nearest
from lattermath.vocabulary.errors import Fault

Loc = tuple[int | str, ...]


def faults_in(
    fault: ValidationError, model: type[BaseModel], where: str, raw: dict[str, Any], door: UnitDoor
) -> Iterator[Fault]:
    """Each fault of a table that did not validate; `raw` is the table as the grower wrote it."""
    for error in fault.errors(include_url=False):
        loc: Loc = error["loc"]
        parent = _at(raw, loc[:-1])
        last = loc[-1] if loc else ""
        if isinstance(parent, dict) and isinstance(last, str):
            last = door.written(last, parent)
            if error["type"] == "missing" and last != loc[-1] and not door.us:
                continue  # the unit door complains of the name that stands in its place
        place = ".".join([where, *map(_part, loc[:-1]), _part(last)])
        what, remedy = _said(error["type"], error["msg"], str(last), error.get("ctx", {}))
        if error["type"] == "extra_forbidden":
            known = _fields_at(model, loc[:-1])
            us_names = {METRIC_NAMES[name] for name in known if door.us and name in METRIC_NAMES}
            remedy = nearest(str(last), known | us_names)
        value = "" if error["type"] == "missing" else shown(_at(raw, (*loc[:-1], last)))
        yield Fault(what, f"{door.file}: {place}", value, remedy)


def shown(value: Any) -> str:
    """A value as it may be printed in a fault, short."""
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, dict) and "value" in value:  # a line of a label with its own words
        return shown(value["value"])
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _part(part: int | str) -> str:
    return str(part + 1) if isinstance(part, int) else part


def _at(raw: Any, loc: Sequence[int | str]) -> Any:
    """What stands at a place of the table, None where nothing does."""
    for part in loc:
        try:
            raw = raw[part]
        except (KeyError, IndexError, TypeError):
            return None
    return raw


def _said(kind: str, message: str, name: str, context: dict[str, Any]) -> tuple[str, str]:
    """What is wrong, and what to do, in plain words."""
    if kind == "plot_file":
        return str(context["what"]), str(context["remedy"])
    if kind == "missing":
        return "this is needed", f"Write {name} = ..."
    if kind == "extra_forbidden":
        return "this key is not known here", ""
    if kind == "string_pattern_mismatch":
        return "a key has small letters, digits, - and _ only", "Write it as in north-bed."
    said = message.replace("Input should", "this should").replace("valid ", "")
    return said[0].lower() + said[1:], ""


def _fields_at(model: type[BaseModel], loc: Sequence[int | str]) -> set[str]:
    """The keys that may be written in the table at a place inside a section."""
    current: Any = model
    for part in loc:
        inside = typing.get_args(current)
        if _is_table(current):
            current = current.model_fields[str(part)].annotation
        elif inside:  # of `list[Table]` or `dict[str, Table]`, the table
            current = inside[-1]
    return set(current.model_fields) if _is_table(current) else set()


def _is_table(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, BaseModel)
