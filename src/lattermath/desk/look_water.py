"""The water in the ground of a planting, by the newest plan that knows of every watering."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from lattermath.desk.kept_sheets import kept_sheets
from lattermath.desk.look_facts import GroundWater
from lattermath.record.journal import Journal
from lattermath.record.read_back import effective
from lattermath.vocabulary.events import Watering

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
    now = len(course["so_far"]["median"]) - 1
    left = course["so_far"]["median"][now]
    return GroundWater(made, left, course["due"][now], course["full"][now])
