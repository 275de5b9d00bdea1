"""Treatments of one evening, ruled on at their hours; on dry soil only after their water.

What is sprayed on dry soil burns: its water comes before it the same evening, or it is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Protocol

from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.hour_limits import WELL_WATERED
from lattermath.planning.treating import Spraying, refused, treating_task
from lattermath.planning.watering import WaterShare
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.plan import NotToday, Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Ruling

Litres = Mapping[str, float]  # by planting


class Rules(Protocol):
    """Who rules on a treatment, and knows how dry the ground is."""

    def rule(
        self,
        planting: Planting,
        method: str,
        product: str | None,
        evening: Evening,
        minutes: float,
        planned: Sequence[Applied] = (),
        starts: datetime | None = None,
        generation_days: float | None = None,
        watered: bool = False,
        poured_l: float = 0.0,
    ) -> Ruling:
        """Rule on one treatment. `watered`: told to be watered before; `poured_l`: it is."""

    def applied(
        self, planting: Planting, method: str, product: str | None, at: datetime
    ) -> Applied:
        """One treatment as the rulings after it count it."""

    def runs_dry(
        self, planting: Planting, day: date | None = None, poured_l: float = 0.0
    ) -> bool | None:
        """Is its soil dry on that evening? None: not known."""


@dataclass(frozen=True, slots=True)
class Sprays:
    """The treatments of an evening, what is refused of them, and which rest on their water."""

    tasks: list[Task]
    refused: list[NotToday]
    on_water: frozenset[str]  # plantings treated only because they are watered before


def evening_sprays(
    rules: Rules,
    wanted: Sequence[Spraying],
    evening: Evening,
    planned: Sequence[Applied],
    poured: Litres | None,
    evenings: Iterable[Evening],
) -> Sprays:
    """Rule on each treatment at the hour it would have, the earlier ones of the evening counted.

    planned  : what the visits before have done.
    poured   : litres that each planting gets before them; None: they are told to be watered first.
    evenings : of the visits that are known, among which a refusal names the first that allows it.
    """
    tasks: list[Task] = []
    refusals: list[NotToday] = []
    on_water: set[str] = set()
    tonight = list(planned)
    for spraying, starts in zip(wanted, _starts(evening, wanted), strict=True):
        key = spraying.planting.key
        ruling = _rule(rules, spraying, evening, starts, tonight, poured)
        ruled = replace(spraying, ruling=ruling)
        task = treating_task(evening.day, ruled)
        if task is None:
            later = [e for e in evenings if e.day > evening.day]
            again = ruling.ask_again or _first_allowed(rules, spraying, later, tonight)
            refusals.append(replace(refused(ruled), look_again=again))
            continue
        tasks.append(task)
        if poured and key in poured and any(r.says == WELL_WATERED for r in ruling.reasons):
            dry = rules.runs_dry(spraying.planting, evening.day)
            on_water |= set() if dry is False else {key}
        at = starts or evening.leave
        tonight.append(rules.applied(spraying.planting, spraying.method, spraying.product, at))
    return Sprays(tasks, refusals, frozenset(on_water))


def given(share: WaterShare) -> dict[str, float]:
    """What each planting gets of the water of a visit. [l]"""
    return {one.need.key: one.given_litres for one in share.shares if one.given_litres > 0}


def urgent_for(on_water: frozenset[str], watering: Iterable[Task]) -> list[Task]:
    """The watering, what treatments rest on being done even when time is short."""
    return [replace(task, must=task.must or bool(_of(task) & on_water)) for task in watering]


def left_dry(visit: VisitPlan, on_water: frozenset[str]) -> frozenset[str]:
    """Those that are treated in the visit, and whose water did not find its place in it."""
    watered = {key for task in visit.tasks if task.kind == "water" for key in _of(task)}
    treated = {task.planting for task in visit.tasks if task.kind == "treat"}
    return on_water & treated - watered


def _of(task: Task) -> set[str]:
    return {share.planting for share in task.amounts if share.planting is not None}


def _first_allowed(
    rules: Rules, spraying: Spraying, evenings: Iterable[Evening], planned: Sequence[Applied]
) -> datetime | None:
    """When heat, rain, wind, wet leaves or dry soil first allow it at a coming visit.

    The plants are told to be watered before. None: at none of the visits that are known.
    """
    for evening in evenings:
        hours = last_job_hours(evening, spraying.minutes)
        if hours is None:
            continue
        starts = hours[0] if spraying.at_dusk else evening.arrive
        if _rule(rules, spraying, evening, starts, planned, None).allowed:
            return starts
    return None


def _rule(
    rules: Rules,
    spraying: Spraying,
    evening: Evening,
    starts: datetime | None,
    planned: Sequence[Applied],
    poured: Litres | None,
) -> Ruling:
    return rules.rule(
        spraying.planting,
        spraying.method,
        spraying.product,
        evening,
        spraying.minutes,
        planned,
        starts=starts,
        generation_days=spraying.generation_days,
        watered=poured is None,
        poured_l=(poured or {}).get(spraying.planting.key, 0.0),
    )


def _starts(evening: Evening, wanted: Sequence[Spraying]) -> list[datetime | None]:
    """Sprays follow one another and end with the visit; handwork comes before them.

    What is hosed off comes first of all, one planting after the other.
    """
    late = [spraying for spraying in wanted if spraying.at_dusk]
    hours = last_job_hours(evening, sum(spraying.minutes for spraying in late))
    last, first = None if hours is None else hours[0], evening.arrive
    starts: list[datetime | None] = []
    for spraying in wanted:
        starts.append(
            last if spraying.at_dusk else first if spraying.on_arrival else evening.arrive
        )
        if spraying.at_dusk and last is not None:
            last += timedelta(minutes=spraying.minutes)
        elif spraying.on_arrival:
            first += timedelta(minutes=spraying.minutes)
    return starts
