"""Why a thing was done: what the plan kept for that evening had to say of it."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any

from lattermath.desk.did_it_work import ELSE_POORLY, POORLY
from lattermath.knowledge.tables import Tables
from lattermath.record.journal import Journal
from lattermath.vocabulary.account import Reason
from lattermath.vocabulary.events import Care, Event, Pulling, SettingOut, Sowing, Treatment

Kept = dict[str, Any]  # one plan as plain data
MOST = 4  # judgement: reasons that a neighbour reads
KIND_OF = {
    Treatment: ("treat", "cover"),
    Pulling: ("pull",),
    SettingOut: ("set out",),
    Sowing: ("sow",),
    Care: ("care",),
}
WHO = ("model", "grower")  # limits are told beside the label's own lines


def kept_plans(journal: Journal, until: datetime) -> list[Kept]:
    """The plans kept up to an instant, the newest first."""
    found = [json.loads(journal.plan(kept.stamp) or "{}") for kept in journal.plans()]
    read = [plan for plan in found if plan and made_at(plan) <= until]
    return sorted(read, key=made_at, reverse=True)


def made_at(plan: Kept) -> datetime:
    """The instant that a plan was made as of."""
    return datetime.fromisoformat(plan["as_of"])


def plan_of(event: Event, plans: Sequence[Kept]) -> Kept | None:
    """The newest plan made before an entry that had a visit on its day; None: none was kept."""
    day = event.day.isoformat()
    before = (plan for plan in plans if made_at(plan) <= event.local)
    return next((plan for plan in before if any(v["date"] == day for v in plan["visits"])), None)


def reason_of(event: Event, plans: Sequence[Kept], tables: Tables) -> Reason | None:
    """What the plan kept for the evening of an entry says of it.

    None where no plan was kept for that evening, or an entry of this kind needs no reason.
    """
    done, kinds = event.payload, KIND_OF.get(type(event.payload))
    plan = plan_of(event, plans) if kinds is not None else None
    if kinds is None or plan is None:
        return None
    day = event.day.isoformat()
    tasks = [t for v in plan["visits"] if v["date"] == day for t in v["tasks"]]
    task = next((t for t in tasks if t["kind"] in kinds and _same(t, done)), None)
    if task is None:
        return Reason(made_at(plan), asked=False)
    aims = aimed_at(event, plans, tables)
    says = dict.fromkeys((*_of_population(plan, aims), *_of_verdict(plan, done), *_own(task)))
    return Reason(made_at(plan), asked=True, says=tuple(says)[:MOST])


def names_none(says: str, hidden: Collection[str]) -> bool:
    """Whether a sentence names none of these; plans speak of neighbours' plants, accounts never."""
    return not any(name.casefold() in says.casefold() for name in hidden if name)


def aimed_at(event: Event, plans: Sequence[Kept], tables: Tables) -> frozenset[str]:
    """Ids of what a treatment was meant for: as the entry says, else as the plan meant it."""
    done = event.payload
    if not isinstance(done, Treatment):
        return frozenset()
    words, held = done.against, tables.crosswalk
    if words:
        kind = held.kind(words)
        found = held.kinds.get(kind, ()) if kind else ()
        return frozenset(
            {words, *found, held.organism(words) or words, held.disease(words) or words}
        )
    plan = plan_of(event, plans)
    return frozenset(
        population["organism"]
        for population in (plan["populations"] if plan else ())
        for step in population["course"]
        if step["day"] == event.day.isoformat()
        and step["method"] == done.method
        and set(step["plantings"]) & set(done.plantings)
    )


def _same(task: dict[str, Any], done: Any) -> bool:
    """Whether a task of the plan is what an entry says was done."""
    if isinstance(done, Treatment):
        same_place = task["planting"] in done.plantings
        return same_place and (task["product"], task["method"]) == (done.product, done.method)
    if isinstance(done, (SettingOut, Sowing)):
        return task["planting"] is None or task["planting"] == done.planting
    return bool(task["planting"] == done.planting)


def _own(task: dict[str, Any]) -> Iterator[str]:
    for reason in task["because"]:
        if reason["holds"] and reason["who"] in WHO:
            yield reason["says"]


def _of_population(plan: Kept, aims: Collection[str]) -> Iterator[str]:
    """What was believed of the organisms that a treatment was meant for, and the course."""
    for held in plan["populations"]:
        if held["organism"] in aims:
            yield from (words for words in (_first(held["says"]), held["course_says"]) if words)


def _of_verdict(plan: Kept, done: Any) -> Iterator[str]:
    if isinstance(done, Pulling):
        yield from (v["says"] for v in plan["verdicts"] if v["planting"] == done.planting)


def _first(says: str) -> str:
    """The first sentence."""
    head, point, _ = says.partition(". ")
    return head + point.strip()


def poorly(plans: list[Kept]) -> Iterator[str]:
    """What the plans found to work poorly, in their own words, each thing once, newest plan."""
    told: set[str] = set()
    for plan in plans:
        for held in plan["populations"]:
            for before, after in _around(held["says"]):
                name = before.partition(": ")[0]
                if name not in told:
                    told.add(name)
                    yield f"{before}. {POORLY}: {after}"


def _around(says: str) -> Iterator[tuple[str, str]]:
    """The sentence before each finding that something works poorly, and what follows it."""
    parts = re.split(rf"\. (?:{POORLY}|{ELSE_POORLY}): ", says)
    for before, after in pairwise(parts):
        yield before.rpartition(". ")[2], after.partition(". ")[0].rstrip(".") + "."
