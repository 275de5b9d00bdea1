"""Gathers the tasks of one visit into the plan of an evening."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from lattermath.planning.daylight import has_light, in_the_dark, lamp, looks_first, moved, no_light
from lattermath.planning.evening_order import Ordered, fit, if_missed, short_of_time
from lattermath.planning.skipping import with_skipped
from lattermath.vocabulary.evening import OWN_FORECAST, Evening
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import OVER, NotToday, Task, VisitPlan
from lattermath.vocabulary.sentence import capital, inside

LIKELY = 0.5  # judgement: from here one says "likely"
POSSIBLE = 0.2  # judgement
_TREATMENT = re.compile(
    r"(?P<what>[^:]+?)(?:: |, [a-z ]+ of )(?P<where>[^:,]+?)(?: as your label says)?\."
)
STILL_M_S = 2.0  # light air and below, Beaufort 0 to 1


@dataclass(frozen=True, slots=True)
class Ingredients:
    """Everything that was found to be worth doing, or barred, at one visit."""

    tasks: tuple[Task, ...]
    not_today: tuple[NotToday, ...] = ()
    water_left: str = ""
    bring: tuple[str, ...] = ()
    sick: frozenset[str] = frozenset()  # plantings that carry something: touched last
    carried: frozenset[str] = frozenset()  # those with a disease that hands carry: last of all


def visit_plan(
    evening: Evening,
    minutes: int,
    found: Ingredients,
    after: date | None = None,
    evenings: Iterable[Evening] = (),
) -> VisitPlan:
    """Order what was found, fit it into the minutes and the light, and name what does not fit.

    after    : the day of the next visit, until which what is left out waits.
    evenings : of the visits that are known; what wants light waits for the next that has any.
    """
    lit_next = next((e for e in evenings if e.day > evening.day and has_light(e)), None)
    ordered, dark = _in_light(found, evening, minutes)
    return VisitPlan(
        date=evening.day,
        arrive=evening.arrive,
        leave=_leave(evening, ordered),
        sunset=evening.sunset,
        weather=weather_words(evening),
        minutes=ordered.minutes,
        tasks=with_skipped(ordered.tasks, after),
        not_today=(*moved(dark, evening, lit_next), *found.not_today),
        left_out=tuple(map(_left_out, ordered.left_out)),
        no_time=(
            *(task.id for task in ordered.left_out),
            *(task.id for task in dark if task.kind == "treat"),  # a course names them too
        ),
        short_of_time=f"{short_of_time(ordered.tasks)}{_waiting(ordered, minutes)}",
        if_missed=if_missed(ordered.tasks),
        bring=tuple(dict.fromkeys((*found.bring, *lamp(ordered.tasks, evening)))),
        water_left=_water_left(found.water_left, ordered),
        warning=". ".join(
            words.rstrip(".")
            for words in (_over(ordered, minutes), no_light(evening, ordered.tasks))
            if words
        ),
    )


def _over(ordered: Ordered, minutes: int) -> str:
    """By how much what dies tonight takes longer than there is, and what of it is worth least."""
    dying = [task for task in ordered.tasks if task.dies]
    over = sum(task.minutes for task in dying) - minutes
    if over <= 0:
        return ""
    least = inside(dying[-1].says.partition(":")[0])
    return f"{round(over)} {OVER}: stay longer, or leave out {least}."


def _waiting(ordered: Ordered, minutes: int) -> str:
    """What of the work only fills the wait for a last job."""
    over = round(ordered.minutes - minutes)
    if over <= 0 or all(task.part != "last job" for task in ordered.tasks):
        return ""
    return f" {over} of these minutes are beyond your {minutes}: the last job waits for its hour."


def _in_light(found: Ingredients, evening: Evening, minutes: int) -> tuple[Ordered, list[Task]]:
    """The work in its order, and what wants light and would be done without it.

    Where some of it would be, the looks come first; what is still in the dark is left for another
    visit, the last of it first, and what is left may move up.
    """
    ordered = fit(found.tasks, evening, minutes, found.sick, found.carried)
    tasks, dark = list(found.tasks), list[Task]()
    if in_the_dark(ordered.tasks, evening):
        tasks = looks_first(tasks)
        ordered = fit(tasks, evening, minutes, found.sick, found.carried)
    while late := in_the_dark(ordered.tasks, evening):
        gone = [late[0], *(task for task in ordered.tasks if _hangs_on(task, late[0]))]
        dark += gone
        tasks = [task for task in tasks if task.id not in {one.id for one in gone}]
        ordered = fit(tasks, evening, minutes, found.sick, found.carried)
    return ordered, dark


def _hangs_on(task: Task, look: Task) -> bool:
    """Does a task wait for what this look finds?"""
    return bool(task.only_if) and look.kind == "look" and task.decided_at == look.planting


def weather_words(evening: Evening) -> str:
    """Say the evening in a few words; what is unknown is not said."""
    words: list[str] = []
    if evening.temperature_c is not None:
        words.append(measure(round(evening.temperature_c), "C"))
    if evening.wind_m_s is not None:
        words.append("still" if evening.wind_m_s < STILL_M_S else "wind")
    if evening.rain_chance_2h is not None:
        words.append(_rain_words(evening.rain_chance_2h))
    if not evening.forecast:
        words.append(f"by {evening.told_by}, no forecast")
    elif evening.told_by == OWN_FORECAST:
        words.append(f"by {OWN_FORECAST}")
    return ", ".join(words)


def _rain_words(chance: float) -> str:
    if chance >= LIKELY:
        return "rain likely"
    return "rain possible" if chance >= POSSIBLE else "dry"


def _leave(evening: Evening, ordered: Ordered) -> datetime:
    """Leave when the work is done, not before the last job ends."""
    ends = [task.ends for task in ordered.tasks if task.ends is not None]
    return max([evening.arrive, *ends])


def gathered(*parts: Sequence[Task]) -> tuple[Task, ...]:
    """Join lists of tasks, keeping one of each id."""
    seen: dict[str, Task] = {}
    for part in parts:
        for task in part:
            seen.setdefault(task.id, task)
    return tuple(seen.values())


def _water_left(says: str, ordered: Ordered) -> str:
    """No cans are promised to beds that the minutes leave out."""
    if all(task.kind != "water" for task in ordered.left_out):
        return says
    left = [task.says.rstrip(".") for task in ordered.left_out if task.kind == "water"]
    poured = any(task.kind == "water" for task in ordered.tasks)
    short = "no time for all of it" if poured else "no time for it"
    return f"{short}. Left out: {'; '.join(left)}."


def _left_out(task: Task) -> str:
    """A task named among others: a picking says only what, so the work is put before it.

    Of a treatment the plants come first, for its words are cut short on a sheet.
    """
    if task.kind == "pick":
        return f"pick {inside(task.says)}"
    says = task.says.removeprefix(f"Only if {task.only_if}: ")
    found = _TREATMENT.fullmatch(says) if task.kind == "treat" else None
    return says if found is None else f"{capital(found['where'])}: {inside(found['what'])}."
