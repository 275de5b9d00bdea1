"""What the newest plan says of a planting looked at: its water, and the looks asked of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.look_facts import GroundWater
from lattermath.record.journal import Journal
from lattermath.record.read_back import effective
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Watering

STILL_NEW = timedelta(days=7)  # judgement: a week on a new plan will have looked at it again
FRESH = timedelta(days=1)  # judgement: an older plan says little of the ground of today


def water_by_plan(journal: Journal, planting: str, today: date) -> GroundWater | None:
    """What the ground holds; None where no plan of today or yesterday knows all waterings."""
    plan = next(kept_sheets(journal), None)
    if plan is None:
        return None
    made = datetime.fromisoformat(plan["stamp"]["as_of"]).date()
    later = (e for e in effective(journal.events()) if e.serial > plan["stamp"]["serial"])
    if not made <= today <= made + FRESH or any(isinstance(e.payload, Watering) for e in later):
        return None
    course = next((one for one in plan.get("water", []) if one["planting"] == planting), None)
    if course is None or not course["so_far"]["median"]:
        return None
    so_far = course["so_far"]
    now = len(so_far["median"]) - 1
    left, due, full = so_far["median"][now], course["due"][now], course["full"][now]
    return GroundWater(made, left, due, full, so_far["low"][now] if so_far.get("low") else None)


@dataclass(frozen=True, slots=True)
class PlannedLook:
    """One look of a plan: its visit, what it says, and the reckoning that is too long for paper.

    eggs : the organisms of which it asks for eggs, each with the words for them.
    """

    day: date
    says: str
    reckoned: tuple[str, ...]
    eggs: Mapping[str, str] = field(default_factory=dict)


def looks_planned(journal: Journal, planting: str, today: date) -> tuple[PlannedLook, ...]:
    """The looks of the newest plan at a planting, from today on; none where no plan is kept."""
    plan = next(kept_sheets(journal), None)
    return () if plan is None else tuple(_looks(plan, planting, today))


def odds_by_plan(journal: Journal, name: str, today: date) -> tuple[str, ...]:
    """What of a planting is at odds with belief by the newest plan, and the look that would tell.

    name : of the planting, as the plan has it.
    """
    plan = next(kept_sheets(journal), None)
    if plan is None:
        return ()
    made = datetime.fromisoformat(plan["stamp"]["as_of"]).date()
    if not timedelta(0) <= today - made <= STILL_NEW:
        return ()
    told = [
        (one["disagrees"] if worst else one["says"], _may_be(one["may_be"]), one["to_tell"])
        for population in plan.get("populations", ())
        for worst, one in ((True, population), *((False, o) for o in population["more_at_odds"]))
    ]
    return tuple(
        " ".join(
            part for part in (f"By the plan of {short(made)}, {says}", may_be, to_tell) if part
        )
        for says, may_be, to_tell in told
        if says.startswith(f"{name}: ")
    )


def _may_be(causes: Sequence[Mapping[str, Any]]) -> str:
    return f"May be {', '.join(one['what'] for one in causes)}." if causes else ""


def _looks(plan: Mapping[str, Any], planting: str, today: date) -> Iterator[PlannedLook]:
    for day, task in tasks_of(dict(plan)):
        visit = date.fromisoformat(day)
        if task["kind"] == "look" and task["planting"] == planting and visit >= today:
            aside = (one["says"] for one in task["because"] if one.get("aside"))
            eggs = {
                one["organism"]: one["says"]
                for one in task.get("wanted", ())
                if one["stage"] == "eggs"
            }
            yield PlannedLook(visit, task["says"], tuple(aside), eggs)
