"""The water and the warmth of a plan, by day: what is in the ground, what the degree-days bring."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from lattermath.belief.life_history import life_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.heat_told import crop_heat, insect_heat
from lattermath.planning.water_told import water_course
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Population, VisitPlan
from lattermath.vocabulary.season_series import HeatCourse, WaterCourse


def water_courses(
    facts: SeasonFacts, worked: WorkedOut, visits: Iterable[VisitPlan]
) -> tuple[WaterCourse, ...]:
    """The water of each planting's ground, the first to run short first."""
    coming = next(iter(visits), None)
    visit = coming.date if coming else facts.today
    litres = _planned(coming)
    found = [
        water_course(soil, facts.today, visit, litres.get(key, 0.0))
        for key, soil in worked.ground.items()
    ]
    return tuple(sorted(found, key=lambda one: one.dry_by.middle or date.max))


def _planned(visit: VisitPlan | None) -> dict[str, float]:
    """Litres that each planting gets at a visit."""
    found: dict[str, float] = {}
    for task in visit.tasks if visit else ():
        if task.kind == "water":
            for share in task.amounts:
                if share.planting is not None:
                    found[share.planting] = found.get(share.planting, 0.0) + share.quantity
    return found


def heat_courses(facts: SeasonFacts, worked: WorkedOut) -> tuple[HeatCourse, ...]:
    """The warmth of each insect that is followed, then of each planting that does not bear yet."""
    insects = (_of_insect(facts, one) for one in worked.pests.populations)
    crops = (
        crop_heat(belief, facts.today, facts.first) for belief in worked.crops.beliefs.values()
    )
    return tuple(course for course in (*insects, *crops) if course is not None)


def _of_insect(facts: SeasonFacts, population: Population) -> HeatCourse | None:
    tables, key = facts.tables, population.organism
    since = _first_seen(facts, population)
    if key not in tables.organisms or since is None:
        return None
    life = life_of(tables, key)
    return insect_heat(life, since, facts.today, facts.t_min, facts.t_max, facts.first)


def _first_seen(facts: SeasonFacts, population: Population) -> date | None:
    """The first day on which it, or its kind, was found on these plantings."""
    kinds = facts.tables.crosswalk.kinds
    days = [
        event.day
        for event in facts.events
        if isinstance(seen := event.payload, Sighting)
        and seen.planting in population.plantings
        and population.organism in (seen.what, *kinds.get(seen.what, ()))
        and not seen.found_none
    ]
    return min(days, default=None)
