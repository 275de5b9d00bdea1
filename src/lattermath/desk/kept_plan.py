"""A whole plan kept: asked for again with nothing changed, it is read and not worked out."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import datetime, timedelta, tzinfo
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from lattermath.desk.kept_work import Arrays, digest_of, kept, remembered
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.worth import Weeks, eaten
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.plan import Plan

if TYPE_CHECKING:
    from lattermath.desk.plan_tasks import WorkedOut
    from lattermath.planning.fates import FateOutlook

Make = Callable[[], "tuple[Plan, WorkedOut]"]
Draws = NDArray[np.float64]
KIND = "plan"
GOOD_FOR = timedelta(hours=1)  # judgement: the evening's hours are told afresh after so long
# The throws follow from the seed and the year, which the stamp names; the tables have a digest.
NOT_DIGESTED = frozenset(("dice", "tables"))


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """A plan, and what the ground gives by it in every draw.

    kg    : of each planting and filled bed, by key, (n_draws,) each.
    eaten : portions of it all that the household uses, (n_draws,).
    """

    plan: Plan
    kg: Mapping[str, Draws]
    eaten: Draws


def made_once(facts: SeasonFacts, make: Make) -> Made:
    """The plan of these facts: the kept one, or what `make` gives, which is then kept.

    make : lays the plan out, its stamp naming no plan before it, and gives what it was laid out
           from. What it raises is raised, and nothing is kept.
    """
    return _read(remembered(KIND, _key(facts), lambda: _written(facts, *make())), facts)


def made_before(facts: SeasonFacts) -> bool:
    """Whether the plan of these facts is kept."""
    return kept(KIND, _key(facts)) is not None


def _key(facts: SeasonFacts) -> str:
    """A digest of all that a plan is made from."""
    parts = {f.name: getattr(facts, f.name) for f in fields(facts) if f.name not in NOT_DIGESTED}
    return digest_of(parts, facts.tables.digest)


def _written(facts: SeasonFacts, plan: Plan, worked: WorkedOut) -> Arrays:
    given = _outlooks(worked)
    n_days = facts.t_min.shape[1] - facts.today_index
    parts = [part for one in given.values() for part in one.parts]
    weeks = Weeks.of(facts.today, n_days)
    return {
        "plan": _bytes(plan_json(plan, marks=True)),
        "keys": _bytes(json.dumps([*given])),
        "kg": _each([one.kg() for one in given.values()]),
        "eaten": np.asarray(eaten(parts, {}, facts.plot.household, weeks)),
    }


def _outlooks(worked: WorkedOut) -> dict[str, FateOutlook]:
    """What becomes of each planting and bare bed, by key."""
    crops = worked.crops
    stands = {key: one.chosen for key, one in crops.decisions.items()}
    return stands | {key: one.chosen for key, one in crops.fillings.items()}


def _each(kg: Sequence[Draws]) -> Draws:
    """One row each, (n, n_draws)."""
    return np.array(np.broadcast_arrays(*kg)) if kg else np.zeros((0, 1))


def _bytes(text: str) -> np.ndarray[Any, np.dtype[np.uint8]]:
    return np.frombuffer(text.encode(), np.uint8)


def _read(held: Arrays, facts: SeasonFacts) -> Made:
    """What is kept there, its hours by the plot's clock; JSON knows of hours from UTC only."""
    plan = _by_clock(_reader().validate_json(held["plan"].tobytes()), facts.now.tzinfo)
    keys = json.loads(held["keys"].tobytes())
    return Made(plan, dict(zip(keys, held["kg"], strict=True)), held["eaten"])


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
