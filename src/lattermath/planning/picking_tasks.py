"""What to pick at a visit, clean beds before sick ones, and what is barred."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from lattermath.planning.picking_clearance import not_known
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Amount, Clearance, NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

MINUTES_A_KG = 6.0  # judgement: looking through leaves, cutting and carrying
MINUTES_A_PLANTING = 2.0  # judgement
MUST_PICK_KG = 0.3  # judgement: less than this running over is no loss
SINCE, NONE_BEFORE = " since the last picking", ", and no picking of it is written down yet"
WORTH_PICKING_KG = 0.05  # judgement: less than this is a nibble on the way past


@dataclass(frozen=True, slots=True)
class Bearing:
    """What one planting should have ready at a visit."""

    planting: Planting
    kg: float  # median of the draws since the last picking, if there was one
    kg_low: float
    kg_high: float
    size: str = ""  # "over 12 cm": when the thing is ready
    runs_over: str = ""  # what a missed visit does: "courgettes run to marrows"
    past_kg: float = 0.0  # hangs past size and is taken off uneaten, median
    passes: date | None = None  # from when the oldest that hangs is past size; None: it waits
    picked: bool = False  # a picking of it was written down, or is planned before
    sick: bool = False  # has mildew or whitefly: picked last, so that hands carry nothing on


def picking_tasks(
    visit: date,
    bearings: Iterable[Bearing],
    clearances: Mapping[str, Clearance],
    at: datetime,
) -> tuple[list[Task], list[NotToday]]:
    """Give pick tasks for what is clear at that hour, and the bars for what is not."""
    tasks: list[Task] = []
    bars: list[NotToday] = []
    for bearing in sorted(bearings, key=lambda b: (b.sick, -b.kg)):
        clearance = clearances.get(bearing.planting.key)
        if clearance is None or not _clear(clearance, at):
            bars.append(_bar(bearing, clearance))
            hangs = bearing.kg + bearing.past_kg >= WORTH_PICKING_KG
            if bearing.runs_over and hangs and not _opens_in_time(bearing, clearance, visit):
                tasks.append(_take_off(visit, bearing, clearance))
        elif bearing.kg >= WORTH_PICKING_KG:
            tasks.append(_task(visit, bearing))
    return tasks, bars


def _clear(clearance: Clearance, at: datetime) -> bool:
    """Nothing unknown is ever clear."""
    return clearance.clear_now or (clearance.safe_from is not None and clearance.safe_from <= at)


def _opens_in_time(bearing: Bearing, clearance: Clearance | None, visit: date) -> bool:
    """Nothing is past size yet, and picking opens before anything is: it can still be eaten."""
    safe = None if clearance is None else clearance.safe_from
    due = bearing.passes
    return safe is not None and due is not None and due > visit and due > safe.date()


def _task(visit: date, bearing: Bearing) -> Task:
    planting = bearing.planting
    size = f" {bearing.size}" if bearing.size else ""
    return Task(
        id=task_id(visit, "pick", planting.key, None),
        kind="pick",
        part="pick",
        planting=planting.key,
        says=f"{planting.name}{size}, about {_weight(bearing.kg)}.{_past(bearing)}",
        minutes=round(MINUTES_A_PLANTING + MINUTES_A_KG * bearing.kg),
        amounts=(Amount("produce", round(bearing.kg, 2), "kg"),),
        because=(
            Because(
                f"{planting.name}: {_weight(bearing.kg_low)} to {_weight(bearing.kg_high)} "
                f"should be ready{SINCE if bearing.picked else NONE_BEFORE}",
                rests_on=(
                    f"plot:planting/{planting.key}",
                    f"table:crops/{planting.crop}/yield_per_plant_kg",
                ),
            ),
        ),
        cautions=("Rinse under running water before eating.",),
        if_skipped=bearing.runs_over,
        must=bool(bearing.runs_over) and bearing.kg >= MUST_PICK_KG,
        due=bearing.passes if _past(bearing) else None,
    )


def _take_off(visit: date, bearing: Bearing, clearance: Clearance | None) -> Task:
    """While picking is barred: what passes size is taken off and not eaten."""
    planting = bearing.planting
    safe = None if clearance is None else clearance.safe_from
    until = "" if safe is None else f" before {said(safe.date())}"
    due = bearing.passes
    on = "" if due is None else f", the first about {said(due)}"
    slow = "" if due is None else f" from about {said(due)} on"
    return Task(
        id=task_id(visit, "care", planting.key, "take off"),
        kind="care",
        part="care",
        planting=planting.key,
        says=f"{planting.name}: take off what passes size{until}{on}. Not to be eaten.",
        minutes=round(MINUTES_A_PLANTING + MINUTES_A_KG * bearing.past_kg),
        because=(
            Because(
                f"fruit left past size slows the plant{slow}, and nothing may be picked to eat "
                "here yet",
                who="our caution",
                rests_on=(f"table:produce/{planting.crop}/hangs_days",),
            ),
        ),
        cautions=("Gloves. It goes off the plot or to the compost, to no kitchen and no animal.",),
        if_skipped=bearing.runs_over,
        due=due,
    )


def _bar(bearing: Bearing, clearance: Clearance | None) -> NotToday:
    reasons = () if clearance is None else clearance.barred_by
    unknown = not_known()
    return NotToday(
        what=f"Not the {inside(bearing.planting.name)}",
        planting=bearing.planting.key,
        because=tuple(reasons) or (unknown,),
        look_again=None if clearance is None else clearance.safe_from,
    )


def _past(bearing: Bearing) -> str:
    """What hung too long comes off with the rest, and is no picking."""
    past = bearing.past_kg >= WORTH_PICKING_KG
    return " Take off what has passed size too: it slows the plant." if past else ""


def _weight(kg: float) -> str:
    """Say a weight as one would: grams to the nearest 50 below a kilogram, else one decimal."""
    if kg < 0.95:
        return measure(max(50, round(kg * 20) * 50), "g")
    return measure(round(kg, 1), "kg")
