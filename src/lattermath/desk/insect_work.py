"""The course against one cluster of insects as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.insect_told import dearer_for_enemies, harm, told_of
from lattermath.desk.kept_courses import search_course
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import (
    FRESH_DAYS,
    PestPart,
    amounts_for,
    last_looked,
    portions_to_come,
    seen_on,
)
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import course_search, courses, presence
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.plan import DaySpan
from lattermath.vocabulary.ruling import Because

SUSPECT = 0.2  # judgement: share of the number growers act at from which a look pays


@dataclass(frozen=True, slots=True)
class InsectCourse:
    """One cluster with everything its course is searched and told with."""

    facts: SeasonFacts
    belief: ClusterBelief
    rulings: CourseRulings
    name: str


def insect_part(
    facts: SeasonFacts,
    belief: ClusterBelief,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
    others: tuple[tuple[date, Spraying], ...] = (),
) -> PestPart:
    """Search the course against one cluster, and say what it means for the plan.

    others : treatments already planned against other organisms, which count before the rulings.
    """
    name = facts.tables.organisms[belief.organism].name
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    rulings = CourseRulings(facts, permits, plantings, areas, _generation(facts, belief), others)
    course = InsectCourse(facts, belief, rulings, name)
    worth = [
        portions_to_come(facts, beliefs[stand.key]) if stand.key in beliefs else 0.0
        for stand in belief.stands
    ]
    hurts = harm(facts, belief)
    appetite = np.array([belief.life.figures.appetite(s) for s in belief.life.stages])
    insect_days = courses.worth_of_insect_days(
        belief.stands, appetite, worth, [hurts[stand.key] for stand in belief.stands]
    )
    found = search_course(
        course_search.Task(
            belief,
            tuple(facts.day_index(day) - belief.first_day for day in course.rulings.visits),
            dearer_for_enemies(_candidates(facts, belief), facts, belief, insect_days),
            course.rulings.permit,
            insect_days,
            facts.plot.household.worth_of_hour / 60,
            _where(course),
        ),
        *rulings.made_from,
    )
    population = courses.population_of(
        belief, found, course.rulings.visits, facts.today, name, _sick(course)
    )
    says, reasons = told_of(facts, belief, _sick(course))
    population = replace(
        population,
        says=population.says + says,
        generation_days=course.rulings.generation_days,
        because=(*population.because, *reasons),
        where=presence.where_insects_sit(belief, seen_on(facts, belief.organism)),
        so_far=presence.insects_so_far(belief, facts.today),
        hatch=_hatch(facts, belief),
    )
    return PestPart(
        population,
        tuple(_sprayings(course, found, population.because[:2])),
        tuple(_watches(course, found)),
        _cares(course, found, hurts),
        _sick(course),
    )


def _candidates(facts: SeasonFacts, belief: ClusterBelief) -> tuple[course_search.Candidate, ...]:
    return courses.candidates_of(
        facts.plot.shelf,
        facts.tables.methods,
        facts.tables.crosswalk.targets.get(belief.organism, ()),
        belief.life.stages,
        belief.organism,
        facts.plot.household,
    )


def _sprayings(
    course: InsectCourse, found: course_search.Found, because: tuple[Because, ...]
) -> list[tuple[date, Spraying]]:
    """One treatment for each step and planting, by day."""
    work, sick = [], _sick(course)
    for step in found.steps:
        day, candidate = course.rulings.visits[step.visit], step.candidate
        first = step is found.steps[0]
        for n, place in enumerate(step.places):
            planting = course.rulings.plantings[place]
            label = course.rulings.permits.label(candidate.product)
            work.append((day, Spraying(
                method=candidate.method,
                product=candidate.product,
                target=course.belief.organism,
                target_name=course.name,
                planting=planting,
                minutes=course.rulings.minutes(candidate, place, first=n == 0),
                amounts=amounts_for(course.facts, label, planting, candidate.surfaces),
                surfaces=candidate.surfaces,
                product_name=candidate.name,
                sprayed=candidate.product is not None,
                only_if=_only_if(course, place, day),
                sure=planting.key in sick,
                wasted="" if first or not label else f"the first {candidate.name} is wasted",
                because=because,
                generation_days=course.rulings.generation_days,
            )))  # fmt: skip
    return work


def _only_if(course: InsectCourse, place: int, day: date) -> str:
    """A treatment that rests on an old look, or on none of them found, waits for a fresh one."""
    key = course.belief.stands[place].key
    looked = last_looked(course.facts, key, course.belief.organism)
    there = key in seen_on(course.facts, course.belief.organism)
    if there and looked is not None and (day - looked).days <= FRESH_DAYS:
        return ""
    return "the look finds them still there"


def _watches(course: InsectCourse, found: course_search.Found) -> list[Watch]:
    """Every own planting of the cluster: suspects, and those beside what is treated first."""
    beside = courses.look_beside(course.belief, found) if found.steps else ()
    treated = {
        course.belief.stands[p].key: course.rulings.visits[step.visit]
        for step in reversed(found.steps)
        for p in step.places
    }
    sick = _sick(course)
    suspects = _suspects(course) | sick
    watches = []
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        day = treated.get(stand.key)
        waits = day is not None and bool(_only_if(course, place, day))
        watches.append(
            Watch(
                course.belief.organism,
                course.name,
                course.rulings.plantings[place],
                last_looked(course.facts, stand.key, course.belief.organism),
                suspected=stand.key in suspects,
                found=stand.key in sick,
                neighbour_of_sick=stand.key in beside,
                decides="the treatment" if waits else "",
                decides_on=day if waits else None,
            )
        )
    return watches


def _cares(
    course: InsectCourse, found: course_search.Found, hurts: Mapping[str, float]
) -> dict[str, Care]:
    """Share of the yield that feeding leaves, with and without the course."""
    life, cares = course.belief.life, {}
    appetite = np.array([life.figures.appetite(s) for s in life.stages])
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        steps = [step for step in found.steps if place in step.places]
        cares[stand.key] = Care(
            left=courses.yield_kept(found.without[:, place], stand, appetite, hurts[stand.key]),
            fought=courses.yield_kept(found.with_it[:, place], stand, appetite, hurts[stand.key]),
            minutes=Care().minutes + sum(course.rulings.minutes(s.candidate, place) for s in steps),
            treatments=float(sum(s.candidate.product is not None for s in steps)),
        )
    return cares


def _sick(course: InsectCourse) -> frozenset[str]:
    """Own plantings on which it was seen and has not been missed since: hands carry it on."""
    own = {stand.key for stand in course.belief.stands if stand.treatable}
    return frozenset(seen_on(course.facts, course.belief.organism) & own)


def _suspects(course: InsectCourse) -> frozenset[str]:
    """Plantings that should have so many that a look is worth its minutes."""
    belief = course.belief
    habits, harms = belief.life.figures.habits, harm(course.facts, belief)
    action = habits.action.value if habits.action else 1.0
    usual = np.median(courses.counted_today(belief)[0], axis=0)
    return frozenset(
        stand.key
        for stand, number in zip(belief.stands, usual, strict=True)
        if number >= SUSPECT * action * harms[stand.key] / habits.days_for_5_percent.value
        and stand.treatable
    )


def _where(course: InsectCourse) -> frozenset[int]:
    """Places to treat: where it was seen, or should by now be found by a look."""
    likely = _sick(course) | _suspects(course)
    stands = course.belief.stands
    return frozenset(place for place, stand in enumerate(stands) if stand.key in likely)


def _hatch(facts: SeasonFacts, belief: ClusterBelief) -> DaySpan | None:
    left = slice(facts.today_index, None)
    return presence.hatch(belief.life, facts.t_min[:, left], facts.t_max[:, left], facts.today)


def _generation(facts: SeasonFacts, belief: ClusterBelief) -> float:
    """Days from egg to adult at the mean of the coming month. [d]"""
    ahead = slice(facts.today_index, facts.today_index + 30)
    mean = float((facts.t_min[:, ahead] + facts.t_max[:, ahead]).mean() / 2)
    return float(1.0 / max(float(belief.life.pace(mean)), 1e-3))
