"""The tasks of one coming visit, from everything that was worked out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lattermath.desk.frost import (
    cloth_before,
    ends_unhelped,
    frost_night,
    frost_visit,
    no_work_for,
    standing_before_frost,
)
from lattermath.desk.not_treated import not_treated
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.plan_crops import CropPlans
from lattermath.desk.plan_picking import bearings
from lattermath.desk.plan_water import Grounds
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import FateOutlook
from lattermath.planning.frost_work import frost_work
from lattermath.planning.picking_tasks import picking_tasks
from lattermath.planning.replacing import Replacement, replacing_tasks
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import (
    Clearance,
    LastSowing,
    NotToday,
    StandbyAdvice,
    Task,
    Verdict,
    VisitPlan,
)
from lattermath.vocabulary.plot import Planting


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """Everything worked out for a plan, before it is laid out by visit."""

    crops: CropPlans
    pests: PestPlans
    clearances: Mapping[str, Clearance]
    standby: tuple[StandbyAdvice, ...]
    ground: Grounds
    permits: Permits
    last_sowings: tuple[LastSowing, ...] = ()
    bare: tuple[BareGround, ...] = ()


def picks(
    facts: SeasonFacts,
    evening: Evening,
    made: WorkedOut,
    clear: Mapping[str, Clearance],
    picked: Mapping[str, date],
) -> tuple[list[Task], list[NotToday]]:
    """Give what to pick at a visit after planned pickings, and what is barred."""
    ready = bearings(facts, evening.day, made.crops.beliefs, made.pests.sick, picked)
    tasks, bars = picking_tasks(evening.day, ready, clear, evening.arrive)
    night = frost_night(facts)
    if night is None or frost_visit(facts) != evening.day:
        return tasks, bars
    stands = standing_before_frost(facts, made.crops.beliefs)
    cloth = cloth_before(facts, night)
    first, left = frost_work(evening.day, night.low_c, stands, clear, evening.arrive, cloth)
    done = {task.planting for task in first if task.kind == "pick"}
    return [*first, *(task for task in tasks if task.planting not in done)], [*bars, *left]


def goes_at(facts: SeasonFacts, visit: date, made: WorkedOut) -> set[str]:
    """Plantings that come out at a visit."""
    return goes_soon(facts, visit, made, 0)


def goes_soon(facts: SeasonFacts, visit: date, made: WorkedOut, days: int) -> set[str]:
    """Plantings that come out at a visit, or within so many days of it."""
    decided = made.crops.decisions.items()
    return {key for key, one in decided if _begins(facts, one.chosen, visit, days)}


def ends_at(facts: SeasonFacts, visit: date) -> set[str]:
    """Plantings for which only picking is worth doing at a visit: a coming frost ends them."""
    return {one.planting.key for one in ends_unhelped(facts, visit)}


def changes(
    facts: SeasonFacts, visit: date, made: WorkedOut, waiting: Iterable[Replacement] = ()
) -> list[Task]:
    """Give the pulling, setting out and sowing of a visit.

    waiting : what earlier visits had no time for.
    """
    return [
        task
        for replacement in (*waiting, *replacements(facts, visit, made))
        for task in replacing_tasks(visit, replacement)
    ]


def replacements(facts: SeasonFacts, visit: date, made: WorkedOut) -> list[Replacement]:
    """Give what is set out, sown or pulled at a visit, bare ground first."""
    found = [
        _replacement(facts, filling.verdict, filling.chosen, None, made)
        for filling in made.crops.fillings.values()
        if _begins(facts, filling.chosen, visit)
    ]
    for key, decision in made.crops.decisions.items():
        if decision.verdict.verdict in ("replace", "pull") and _begins(
            facts, decision.chosen, visit
        ):
            old = facts.plot.planting(key)
            found.append(_replacement(facts, decision.verdict, decision.chosen, old, made))
    return found


def put_off(visit: VisitPlan, offered: Iterable[Replacement]) -> tuple[Replacement, ...]:
    """What of the work offered to a visit found no time there, and may still be done later."""
    return tuple(
        one
        for one in offered
        if (one.verdict.decide_by is None or one.verdict.decide_by > visit.date)
        and {task.id for task in replacing_tasks(visit.date, one)} & set(visit.no_time)
    )


def _begins(facts: SeasonFacts, chosen: FateOutlook, visit: date, within: int = 0) -> bool:
    """Does the ground change at a visit, or within so many days of it?"""
    if chosen.begins is None or not (chosen.crop or chosen.fate == "pull"):
        return False
    return 0 <= chosen.begins - facts.day_index(visit) <= within


def _replacement(
    facts: SeasonFacts, verdict: Verdict, chosen: FateOutlook, old: Planting | None, made: WorkedOut
) -> Replacement:
    lot = next((lot for lot in facts.plot.lots if lot.key == chosen.lot), None)
    bed = next((b for b in facts.plot.beds if b.key in (verdict.planting, old and old.bed)), None)
    sick = old is not None and old.key in made.pests.sick
    gone = (
        None
        if old is None or old.key not in made.pests.cares
        else made.pests.cares[old.key].must_go
    )
    return Replacement(
        verdict=verdict,
        old=old,
        lot=lot,
        crop=chosen.crop,
        crop_name=facts.tables.crosswalk.named(chosen.crop, chosen.plants),
        bed=None if bed is None else bed.key,
        ground=bed.name if bed is not None else (old.name if old is not None else "the bed"),
        plants=chosen.plants,
        sick=sick,
        keep=0 if sick else chosen.keeps,
        waste=facts.plot.rules.waste,
        cannot_wait=gone is not None or _cannot_wait(facts, verdict, chosen, made),
        besides="" if gone is None else gone.says,
    )


def _cannot_wait(
    facts: SeasonFacts, verdict: Verdict, chosen: FateOutlook, made: WorkedOut
) -> bool:
    """Do the cups coil, or is it too late, before the visit after this one?"""
    begins = chosen.begins if chosen.begins is not None else facts.today_index
    after = next((v for v in facts.visits if facts.day_index(v) > begins), None)
    if after is None:
        return True
    lots = [lot for lot in made.crops.lots if lot.lot.key == chosen.lot]
    coils = any(lot.coils_column() < facts.day_index(after) for lot in lots)
    return coils or (verdict.decide_by is not None and verdict.decide_by < after)


def left_untreated(facts: SeasonFacts, made: WorkedOut, evening: Evening) -> Iterator[NotToday]:
    """Say what frost ends and gets no work, and why what was found is not treated that evening."""
    yield from no_work_for(facts, evening.day)
    yield from not_treated(facts, made.pests.populations, evening)
