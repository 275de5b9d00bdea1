"""Lays the coming visits out: every task, in the order of the evening, within its minutes."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from lattermath.desk.fillings import bag, by_fillings, filled, litres_used, planned_in
from lattermath.desk.leaf_disease_answers import (
    carried_by_hands,
    handled_dry,
    sick_plant_tasks,
    washed_after,
)
from lattermath.desk.plan_picking import (
    clearances,
    closed_beds,
    closed_ground,
    not_yet_planted,
)
from lattermath.desk.plan_tasks import (
    WorkedOut,
    changes,
    ends_at,
    left_untreated,
    picks,
    put_off,
    replacements,
)
from lattermath.desk.plan_water import share_tonight
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tending import tending
from lattermath.planning.evening_sprays import (
    Hours,
    Litres,
    Sprays,
    Wanted,
    evening_sprays,
    given,
    laid_at_their_hours,
    left_dry,
    urgent_for,
    urgent_looks,
    with_numbers,
)
from lattermath.planning.looking import (
    after_looks,
    decided_by_looks,
    first_look,
    looking_tasks,
    not_worth_looking,
)
from lattermath.planning.visit_plan import Ingredients, gathered, visit_plan
from lattermath.planning.watering import WaterShare
from lattermath.planning.watering_tasks import next_to_wait, water_left, watering_tasks
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import NotToday, Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Ruling

if TYPE_CHECKING:
    from lattermath.planning.replacing import Replacement
    from lattermath.planning.watch import Watch


@dataclass(slots=True)
class Before:
    """What the visits laid out so far will have done."""

    applied: list[Applied] = field(default_factory=list)
    picked: dict[str, date] = field(default_factory=dict)  # the last picking of each planting
    gone: set[str | None] = field(default_factory=set)  # plantings pulled to the last plant
    looks: list[tuple[date, Task]] = field(default_factory=list)
    waiting: tuple[Replacement, ...] = ()  # decided, and no time for it so far

    def remember(self, facts: SeasonFacts, visit: VisitPlan) -> None:
        """Take in what one more visit does."""
        self.applied += planned_in(facts, visit)
        self.looks += [(visit.date, task) for task in visit.tasks if task.kind == "look"]
        for task in visit.tasks:
            if task.planting is None:
                continue
            if task.kind == "pick":
                self.picked[task.planting] = visit.date
            elif task.kind == "pull" and _to_the_last(task, facts.plot.planting(task.planting)):
                self.gone.add(task.planting)

    def stands(self, task: Task) -> bool:
        """Is there still something to do it to?"""
        return task.planting not in self.gone or task.kind in ("set out", "sow")


def coming_visits(facts: SeasonFacts, worked: WorkedOut, number: int) -> tuple[VisitPlan, ...]:
    """Give the next `number` visits; what one does counts for those after it."""
    visits: list[VisitPlan] = []
    before = Before()
    for evening in facts.evenings[:number]:
        laid = _visit(facts, worked, evening, before, first=not visits)
        visit = filled(facts, laid, litres_used(visits), before.applied)
        before.remember(facts, visit)
        offered = (*before.waiting, *replacements(facts, evening.day, worked))
        before.waiting = put_off(visit, offered)
        visits.append(visit)
    return tuple(visits)


def _visit(
    facts: SeasonFacts,
    worked: WorkedOut,
    evening: Evening,
    before: Before,
    *,
    first: bool,
) -> VisitPlan:
    cautions = worked.permits.cautions
    closed = closed_beds(facts, cautions, evening.arrive, before.applied)
    clear = clearances(facts, cautions, evening.arrive, before.applied)
    pick, barred = picks(facts, evening, worked, clear, before.picked)
    change = changes(facts, evening.day, worked, before.waiting)
    whole = (t for t in change if t.kind == "pull" and t.planting is not None)
    out = {t.planting for t in whole if _to_the_last(t, facts.plot.planting(t.planting or ""))}
    goes = {task.planting for task in change if task.kind == "pull"}
    ends = ends_at(facts, evening.day)
    watches = _watched(worked, before, evening.day, goes, ends)
    looks = looking_tasks(evening.day, watches)
    if first and not looks and _never_looked(facts):
        looks = first_look(evening.day, facts.plot.standing())
    share, hose = share_tonight(
        facts,
        evening.day,
        worked.crops.beliefs,
        worked.ground,
        frozenset({*closed, *(key for key in out if key is not None)}),
        worked.pests.keep_dry,
        _sprayed(worked, evening) - goes if first else (),
    )
    parts = _Parts(
        share,
        hose,
        [
            washed_after(pick, worked.permits),
            looks,
            handled_dry(tending(facts, evening.day, worked, closed), worked.permits),
            [*change, *sick_plant_tasks(facts, worked.permits, evening.day, goes)],
        ],
        tuple(watches) if first else (),
        looks,
        [*closed.values(), *barred],
        [
            *(left_untreated(facts, worked, evening) if first else ()),
            *(not_worth_looking(evening.day, watches) if first else ()),
        ],
        frozenset(closed),
        frozenset(goes | ends),
        first,
    )
    poured, apart = given(share) if first else None, frozenset[str]()
    while True:
        visit, dry = _laid(facts, worked, evening, before, parts, poured, apart)
        if not dry:
            return visit
        if dry <= apart:  # not even by themselves do they get their water in time
            poured = {key: litres for key, litres in (poured or {}).items() if key not in dry}
        apart |= dry


def _watched(
    worked: WorkedOut,
    before: Before,
    day: date,
    goes: Collection[str | None],
    ends: Collection[str],
) -> list[Watch]:
    """What may be looked for: nothing where frost ends it; of what comes out, what hangs on it."""
    watches = after_looks(worked.pests.watches, before.looks)
    watches = decided_by_looks(day, watches, worked.pests.sprayings.get(day, ()))
    there = [watch for watch in watches if watch.planting.key not in ends]
    return [watch for watch in there if watch.hangs or watch.planting.key not in goes]


@dataclass(frozen=True, slots=True)
class _Parts:
    """What one visit may hold besides its sprays, and what bars the rest."""

    share: WaterShare
    hose: Ruling
    work: list[list[Task]]
    watches: tuple[Watch, ...]  # those whose worth is reckoned as of this visit
    looks: list[Task]
    barred: list[NotToday]
    told: list[NotToday]
    closed: frozenset[str]
    goes: frozenset[str | None]  # plantings that come out, or that frost ends
    first: bool  # the only visit whose water is shared out


def _laid(
    facts: SeasonFacts,
    worked: WorkedOut,
    evening: Evening,
    before: Before,
    parts: _Parts,
    poured: Litres | None,
    apart: frozenset[str],
) -> tuple[VisitPlan, frozenset[str]]:
    """The visit, and the plantings that it would treat dry, their water having found no place.

    poured : litres that count as given before the sprays; None: no water is shared out yet.
    apart  : plantings that get theirs in a line of their own.
    """
    barring = parts.goes | parts.closed
    found = worked.pests.sprayings.get(evening.day, ())

    def rule(wanted: Wanted, hours: Hours | None) -> Sprays:
        return evening_sprays(
            worked.permits, wanted, evening, before.applied, poured, facts.evenings, hours
        )

    def lay(sprays: Sprays) -> VisitPlan:
        later = frozenset[str]()
        while True:
            watering = [] if poured is None else watering_tasks(
                evening.day, parts.share, parts.hose, apart, later
            )  # fmt: skip
            visit = _with_sprays(facts, worked, evening, before, parts, sprays, watering)
            waits = next_to_wait(watering, visit.no_time, parts.share)
            if waits is None:
                return visit
            later |= {waits}

    wanted = [spraying for spraying in found if spraying.planting.key not in barring]
    wanted = by_fillings(facts.plot.shelf, wanted)
    wanted = with_numbers(wanted, parts.watches, parts.looks)
    visit, sprays = laid_at_their_hours(wanted, rule, lay)
    return visit, left_dry(visit, sprays.on_water)


def _with_sprays(
    facts: SeasonFacts,
    worked: WorkedOut,
    evening: Evening,
    before: Before,
    parts: _Parts,
    sprays: Sprays,
    watering: Sequence[Task],
) -> VisitPlan:
    """The visit with what the rulings left of its sprays, in its order and its hours."""
    work = gathered(urgent_for(sprays.on_water, watering), *parts.work, sprays.tasks)
    open_to = [t for t in urgent_looks(work) if t.planting not in parts.closed and before.stands(t)]
    tasks, shut = _on_open_ground(facts, worked, evening.arrive, before, open_to)
    refused = [*parts.barred, *shut, *sprays.refused]
    parcel = Ingredients(
        tasks,
        (
            *(bar for bar in refused if bar.planting not in before.gone or bar.planting is None),
            *parts.told,
        ),
        water_left(parts.share) if parts.first else "",
        bag(facts, tasks),
        worked.pests.sick,
        carried_by_hands(facts, worked.permits),
    )
    after = next((day for day in facts.visits if day > evening.day), None)
    return visit_plan(evening, facts.plot.visiting.minutes, parcel, after, facts.evenings)


def _sprayed(worked: WorkedOut, evening: Evening) -> set[str]:
    """The plantings that something out of a pack is to go on."""
    wanted = worked.pests.sprayings.get(evening.day, ())
    return {one.planting.key for one in wanted if one.product is not None}


def _never_looked(facts: SeasonFacts) -> bool:
    """A new plot: no pack on the shelf, and nothing was ever counted or seen."""
    seen = any(isinstance(event.payload, Sighting) for event in facts.events)
    return not facts.plot.shelf and not seen


def _on_open_ground(
    facts: SeasonFacts, worked: WorkedOut, at: datetime, before: Before, work: list[Task]
) -> tuple[tuple[Task, ...], list[NotToday]]:
    """Leave out what would go into ground that is closed; and say so, of each bare bed too."""
    cautions = worked.permits.cautions
    ground = closed_ground(facts, cautions, at, before.applied)
    barred = not_yet_planted(facts, cautions, at, before.applied) | ground
    stands = {p.bed for p in facts.plot.standing() if p.key not in before.gone}
    dropped = {_bed_of(task) for task in work} & set(barred)
    told = [b for bed, b in barred.items() if bed in dropped or bed in set(ground) - stands]
    return tuple(task for task in work if _bed_of(task) not in dropped), told


def _bed_of(task: Task) -> str | None:
    """The bed into which a task puts something."""
    return None if task.goes_in is None else task.goes_in.bed


def _to_the_last(pull: Task, planting: Planting) -> bool:
    return any(a.what == "plants" and a.quantity >= planting.plants for a in pull.amounts)
