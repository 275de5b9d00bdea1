"""What to look at on a visit: which planting, which leaves, what to count."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from lattermath.planning.leaf_looks import what_to_look_for
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

LEAVES = 10  # common practice: ten leaves are enough to say heavy, not to say clear
MINUTES_A_LOOK = 4.0  # judgement
STALE_AFTER_DAYS = 6  # judgement: a count says little about the next generation

# What to turn over and count, by organism. Where each stage sits: position rows of the pest table.
WHAT_TO_COUNT = {
    "greenhouse_whitefly": "turn {n} low leaves, count pale scales",
    "sweetpotato_whitefly": "turn {n} low leaves, count pale scales",
    "cabbage_whitefly": "turn {n} low leaves, count pale scales",
    "cucurbit_powdery_mildew": "turn {n} old leaves, note how much is white below and above",
}


@dataclass(frozen=True, slots=True)
class Watch:
    """One planting that may carry an organism."""

    organism: str
    organism_name: str
    planting: Planting
    last_looked: date | None
    suspected: bool  # something has been seen on it
    neighbour_of_sick: bool = False  # adults flushed by work would settle here
    decides: str = ""  # what the count decides
    decides_on: date | None = None  # the visit on which it decides it
    because: tuple[Because, ...] = ()  # why it is looked for at all


def looking_tasks(visit: date, watches: Iterable[Watch]) -> list[Task]:
    """Give the looks worth taking at this visit, what decides something first."""
    wanted = [watch for watch in watches if _wanted(visit, watch)]
    wanted.sort(key=lambda w: (not _decides(visit, w), not w.suspected, w.planting.key))
    return [_task(visit, watch) for watch in wanted]


def _decides(visit: date, watch: Watch) -> bool:
    return bool(watch.decides) and watch.decides_on in (None, visit)


def _wanted(visit: date, watch: Watch) -> bool:
    if _decides(visit, watch):
        return True
    stale = watch.last_looked is None or (visit - watch.last_looked).days >= STALE_AFTER_DAYS
    return stale and (watch.suspected or watch.neighbour_of_sick)


def _task(visit: date, watch: Watch) -> Task:
    counted = WHAT_TO_COUNT.get(watch.organism, "turn {n} leaves and count what sits below")
    words = what_to_look_for(watch.organism) or counted
    last = (
        "never looked at"
        if watch.last_looked is None
        else f"last looked at {short(watch.last_looked)}"
    )
    reasons = [
        Because(f"{watch.planting.name}: {last}", rests_on=(f"plot:planting/{watch.planting.key}",))
    ]
    reasons.extend(watch.because)
    if watch.neighbour_of_sick:
        reasons.append(
            Because(
                f"{watch.organism_name} adults flushed by work settle on plants close by",
                rests_on=(f"table:organisms/{watch.organism}/disturbance.flush_fraction",),
            )
        )
    now = _decides(visit, watch)
    decides = f" Decides {watch.decides}." if now else ""
    return Task(
        id=task_id(visit, "look", watch.planting.key, watch.organism),
        kind="look",
        part="look",
        planting=watch.planting.key,
        says=f"{watch.planting.name}: {words.format(n=LEAVES)}.{decides}",
        minutes=MINUTES_A_LOOK,
        because=tuple(reasons),
        if_skipped="the next treatment is decided blind" if now else "",
        must=now,
    )
