"""A whole plan kept: asked for again with nothing changed, it is read and not worked out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from datetime import datetime, timedelta, tzinfo
from functools import cache
from typing import Any

import numpy as np
from pydantic import TypeAdapter

from lattermath.desk.kept_work import Arrays, digest_of, kept, remembered
from lattermath.desk.season_facts import SeasonFacts
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.plan import Plan

KIND = "plan"
GOOD_FOR = timedelta(hours=1)  # judgement: the evening's hours are told afresh after so long
# The throws follow from the seed and the year, which the stamp names; the tables have a digest.
NOT_DIGESTED = frozenset(("dice", "tables"))


def made_once(facts: SeasonFacts, make: Callable[[], Plan]) -> Plan:
    """The plan of these facts: the kept one, or what `make` gives, which is then kept.

    Its stamp names no plan before it.
    """
    return _read(remembered(KIND, _key(facts), lambda: _written(make())), facts)


def kept_before(facts: SeasonFacts) -> Plan | None:
    """The same if it was made before; None where it was not."""
    held = kept(KIND, _key(facts))
    return None if held is None else _read(held, facts)


def _key(facts: SeasonFacts) -> str:
    """A digest of all that a plan is made from."""
    parts = {f.name: getattr(facts, f.name) for f in fields(facts) if f.name not in NOT_DIGESTED}
    return digest_of(parts, facts.tables.digest)


def _written(plan: Plan) -> Arrays:
    return {KIND: np.frombuffer(plan_json(plan, marks=True).encode(), np.uint8)}


def _read(held: Arrays, facts: SeasonFacts) -> Plan:
    """The plan written there, its hours by the plot's clock; JSON knows of hours from UTC only."""
    plan = _reader().validate_json(held[KIND].tobytes())
    clocked: Plan = _by_clock(plan, facts.now.tzinfo)
    return clocked


@cache
def _reader() -> TypeAdapter[Plan]:
    return TypeAdapter(Plan)


def _by_clock(value: Any, zone: tzinfo | None) -> Any:
    """A record with all its instants told by one clock."""
    if isinstance(value, datetime):
        return value.astimezone(zone)
    if is_dataclass(value) and not isinstance(value, type):
        was = {f.name: getattr(value, f.name) for f in fields(value)}
        now = {name: _by_clock(one, zone) for name, one in was.items()}
        changed = {name: one for name, one in now.items() if one is not was[name]}
        return replace(value, **changed) if changed else value
    if isinstance(value, tuple):
        told = tuple(_by_clock(one, zone) for one in value)
        return value if all(a is b for a, b in zip(told, value, strict=True)) else told
    return value
