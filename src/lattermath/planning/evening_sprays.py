"""Treatments of one evening, ruled on at their hours; on dry soil only after their water.

Each is ruled on at the hour at which it is laid out, whatever the order. What is sprayed on dry
soil burns: its water comes before it the same evening, or it is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Protocol

from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.hour_limits import WELL_WATERED
from lattermath.planning.task_ids import task_id
from lattermath.planning.told_apart import told_apart
from lattermath.planning.treating import Spraying, refused, treating_task
from lattermath.planning.watch import Watch
from lattermath.planning.watering import WaterShare
from lattermath.planning.ways_told import finds_enough
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.plan import NotToday, Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling
from lattermath.vocabulary.sentence import inside

FINDS = "the look finds "
Litres = Mapping[str, float]  # by planting
Wanted = Sequence[Spraying]
Hours = Mapping[str, datetime]  # at which a treatment begins, by the id of its task


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
    allowed: tuple[Spraying, ...] = ()  # those with a task
    hours: Hours = field(default_factory=dict)  # at which each task was ruled on


def evening_sprays(
    rules: Rules,
    wanted: Wanted,
    evening: Evening,
    planned: Sequence[Applied],
    poured: Litres | None,
    evenings: Iterable[Evening],
    laid: Hours | None = None,
) -> Sprays:
    """Rule on each treatment at the hour it has, the earlier ones of the evening counted.

    planned  : what the visits before have done.
    poured   : litres that each planting gets before them; None: they are told to be watered first.
    evenings : of the visits that are known, among which a refusal names the first that allows it.
    laid     : hours at which they were laid out; one that found no place among them counts for no
               other. None: nothing is laid out yet, and each has the hour that it is likely to get.
    """
    tasks: list[Task] = []
    refusals: list[NotToday] = []
    allowed: list[Spraying] = []
    hours: dict[str, datetime] = {}
    on_water: set[str] = set()
    tonight = list(planned)
    for spraying, starts in _in_turn(evening, wanted, laid):
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
        allowed.append(spraying)
        at = starts or evening.leave
        hours[task.id] = at
        if poured and key in poured and any(r.says == WELL_WATERED for r in ruling.reasons):
            dry = rules.runs_dry(spraying.planting, evening.day)
            on_water |= set() if dry is False else {key}
        if laid is None or task.id in laid:
            done = at + timedelta(minutes=spraying.minutes)
            tonight.append(
                rules.applied(spraying.planting, spraying.method, spraying.product, done)
            )
    ruled_on = Sprays(tasks, refusals, frozenset(on_water), tuple(allowed), hours)
    return _as_wanted(evening.day, wanted, _in_company(evening.day, ruled_on))


def _in_company(day: date, sprays: Sprays) -> Sprays:
    """The same without those that pay only with a treatment elsewhere that is not made."""
    allowed = sprays.allowed
    made = {(one.planting.key, one.method) for one in allowed}
    alone = [one for one in allowed if one.look_at and (one.look_at.key, one.method) not in made]
    gone = {_id(one, day) for one in alone}
    return replace(
        sprays,
        tasks=[task for task in sprays.tasks if task.id not in gone],
        refused=[*sprays.refused, *(refused(replace(one, ruling=NOT_ALONE)) for one in alone)],
        allowed=tuple(one for one in allowed if one not in alone),
    )


def urgent_looks(tasks: Iterable[Task]) -> list[Task]:
    """The tasks of a visit, each look urgent for which an urgent treatment elsewhere waits."""
    held = list(tasks)
    asked = {task.look_at for task in held if task.must and task.look_at is not None}
    return [
        replace(task, must=True) if task.kind == "look" and task.planting in asked else task
        for task in held
    ]


def with_numbers(
    wanted: Sequence[Spraying], watches: Iterable[Watch], looks: Iterable[Task]
) -> list[Spraying]:
    """The same treatments; those that wait for a look, for the number that this look names.

    looks : of this visit, as they are told: only there it is known whether insects are counted or
            leaves that have any.
    """
    some = {
        (look.planting, one.organism): one.some for look in looks for one in look.wanted
    }  # of what no look asks for, no number is told
    asked: dict[str, list[Watch]] = {}
    for watch in watches:
        if (watch.planting.key, watch.organism) in some:
            asked.setdefault(watch.planting.key, []).append(watch)
    finds = {
        (key, watch.organism): _finds(watch, group, some=some[key, watch.organism])
        for key, group in asked.items()
        for watch in group
    }
    return [replace(one, only_if=_any_of(one, finds)) if one.only_if else one for one in wanted]


def _any_of(spraying: Spraying, finds: Mapping[tuple[str, str], str]) -> str:
    """What a look has to find for a treatment: the number of any one that it is done against."""
    own = spraying.planting

    def number(target: str, told: str, look_at: Planting | None) -> str:
        here = finds.get(((look_at or own).key, target), "")
        if not here:
            return told
        return here if look_at is None else found_on(here, look_at)

    first = number(spraying.target, spraying.only_if, spraying.look_at)
    too = zip(spraying.targets_too, spraying.finds_too, spraying.looks_too, strict=True)
    others = (number(*one) for one in too)
    more = dict.fromkeys(one.removeprefix(FINDS) for one in others if one and one != first)
    return ", or ".join((first, *more))


def found_on(finds: str, planting: Planting) -> str:
    """What a look has to find on another planting, in words."""
    return f"{finds} on {inside(planting.name)}"


def _finds(watch: Watch, group: Sequence[Watch], *, some: bool) -> str:
    """What the look has to find of it; by its species where others there go by the same word."""
    what = told_apart(group).get(watch.organism, watch.what)
    return finds_enough(watch.worth, what, watch.units, some=some)


def _as_wanted(day: date, wanted: Wanted, sprays: Sprays) -> Sprays:
    """The same in the order in which they are wanted, musts first, whatever hours they have.

    What found no place has no hour of its own; were it put where it might begin, it would be laid
    out before what found one, round after round.
    """
    turn = {_id(one, day): n for n, one in enumerate(_musts_first(wanted))}
    return replace(
        sprays,
        tasks=sorted(sprays.tasks, key=lambda task: turn[task.id]),
        allowed=tuple(sorted(sprays.allowed, key=lambda one: turn[_id(one, day)])),
    )


def _musts_first(wanted: Wanted) -> list[Spraying]:
    """Musts first; what shares a filling with one goes with it, or it would be mixed twice."""
    with_must = {one.filling for one in wanted if one.sure and one.filling}
    return sorted(wanted, key=lambda one: not (one.sure or one.filling in with_must))


def laid_at_their_hours(
    wanted: Wanted,
    rule: Callable[[Wanted, Hours | None], Sprays],
    lay: Callable[[Sprays], VisitPlan],
) -> tuple[VisitPlan, Sprays]:
    """Lay a visit out until every treatment in it was ruled on at the very hour it stands at.

    rule : rules on those that are still wanted, at hours laid out before.
    lay  : lays the visit out with what the rulings left.

    What is refused at its hour is left out with its reason, and the rest is laid out anew. So many
    rounds are always enough where hours do not change what is laid out; should they ever do, what
    has no hour of its own by then is left out too.
    """
    hours: Hours | None = None
    barred: list[NotToday] = []
    rounds = len(wanted) + 2
    while True:
        sprays = rule(wanted, hours)
        barred += sprays.refused
        sprays = replace(sprays, refused=list(barred))
        visit = lay(sprays)
        hours = laid_hours(visit)
        moved = {key for key, at in hours.items() if sprays.hours.get(key, at) != at}
        if not moved:
            return visit, sprays
        wanted, rounds = sprays.allowed, rounds - 1
        if rounds <= 0:
            restless = [one for one in wanted if _id(one, visit.date) in moved]
            barred += [refused(replace(one, ruling=Ruling((NO_HOUR,)))) for one in restless]
            wanted = [one for one in wanted if one not in restless]


NO_HOUR = Because(
    "no hour for it could be settled beside the other work",
    holds=False,
    who="our caution",
    rests_on=("rule:evening_window",),
    way_out="leave other work of that evening out",
)


NOT_ALONE = Ruling(
    (
        Because(
            "it pays only together with the treatment of another planting, which is not made",
            holds=False,
            who="grower",
            rests_on=("computed:courses on the same futures",),
        ),
    )
)


def laid_hours(visit: VisitPlan) -> dict[str, datetime]:
    """When each treatment of a visit begins, by the id of its task."""
    treats = (task for task in visit.tasks if task.kind == "treat")
    return {task.id: task.starts for task in treats if task.starts is not None}


def _id(spraying: Spraying, day: date) -> str:
    return task_id(day, "treat", spraying.planting.key, spraying.method)


def _in_turn(
    evening: Evening, wanted: Wanted, laid: Hours | None
) -> list[tuple[Spraying, datetime | None]]:
    """Each treatment with its hour, in the order in which they count for one another."""
    first = _musts_first(wanted)  # as the evening is laid out
    turns = list(zip(first, _starts(evening, first), strict=True))
    if laid is None:
        return turns
    set_down = [(one, laid.get(_id(one, evening.day), starts)) for one, starts in turns]
    return sorted(set_down, key=lambda turn: (turn[1] or evening.leave).timestamp())


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


def _starts(evening: Evening, wanted: Wanted) -> list[datetime | None]:
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
