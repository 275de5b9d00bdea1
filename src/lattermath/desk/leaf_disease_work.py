"""The course against a leaf disease as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.leaf_disease import LeafBelief
from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.leaf_at_odds import leaf_with_odds
from lattermath.desk.leaf_disease_belief import effects
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import (
    PestPart,
    amounts_for,
    bearing_days,
    last_looked,
    portions_to_come,
    seen_on,
)
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import leaf_disease_candidates, leaf_disease_courses, presence
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.treating import Spraying

BOTH_SIDES = leaf_disease_candidates.BOTH_SIDES


@dataclass(frozen=True, slots=True)
class LeafCourse:
    """One disease with everything its course is told with."""

    facts: SeasonFacts
    belief: LeafBelief
    rulings: CourseRulings
    found: leaf_disease_courses.LeafFound
    name: str


def leaf_part(
    facts: SeasonFacts,
    belief: LeafBelief,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> PestPart:
    """Search the course against one disease, and say what it means for the plan."""
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    rulings = CourseRulings(facts, permits, plantings, areas)
    ceases = facts.tables.constants["when_control_stops_paying"]
    known = effects(facts, belief.disease.id)
    candidates = leaf_disease_candidates.leaf_candidates(
        facts.usable, facts.tables.methods, known, facts.plot.household
    )
    worth = [
        portions_to_come(facts, beliefs[p.key]) if p.key in beliefs else 0.0 for p in plantings
    ]
    found = leaf_disease_courses.search_leaf_course(
        leaf_disease_courses.LeafTask(
            belief,
            tuple(facts.day_index(day) - belief.first_day for day in rulings.visits),
            candidates,
            {one.key: known[one.method] for one in candidates},
            rulings.permit,
            np.array(worth),
            leaf_disease_candidates.loss_of(belief.disease, ceases),
            facts.plot.household.worth_of_hour / 60,
            np.stack([bearing_days(facts, beliefs.get(p.key)) for p in plantings]),
            leaf_disease_candidates.still_pays(ceases),
        )
    )
    name = belief.disease.name
    course = LeafCourse(facts, belief, rulings, found, name)
    seen = seen_on(facts, belief.disease.id)
    population = leaf_disease_courses.leaf_population(
        belief, found, rulings.visits, facts.today, name
    )
    return PestPart(
        replace(
            leaf_with_odds(facts, belief, population),
            where=presence.where_leaves_are_ill(belief, seen),
            so_far=presence.leaves_so_far(belief, facts.today),
        ),
        tuple(_sprayings(course)),
        tuple(_watches(course)),
        _cares(course),
        frozenset(seen) & {p.key for p in facts.plot.standing()},
    )


def _sprayings(course: LeafCourse) -> list[tuple[date, Spraying]]:
    work = []
    for step in course.found.steps:
        first = step is course.found.steps[0]
        for n, place in enumerate(step.places):
            planting = course.rulings.plantings[place]
            label = course.rulings.permits.label(step.candidate.product)
            spraying = Spraying(
                method=step.candidate.method,
                product=step.candidate.product,
                target=course.belief.disease.id,
                target_name=course.name,
                planting=planting,
                minutes=course.rulings.minutes(step.candidate, place, first=n == 0),
                amounts=amounts_for(course.facts, label, planting, BOTH_SIDES),
                surfaces=BOTH_SIDES,
                product_name=step.candidate.name,
                sprayed=label is not None,
                wasted=""
                if first or label is None
                else f"the first {step.candidate.name} is wasted",
            )
            work.append((course.rulings.visits[step.visit], spraying))
    return work


def _watches(course: LeafCourse) -> list[Watch]:
    """Every own host: those that show it, and those beside them."""
    shown = np.median(course.belief.state.max(-1), axis=0)
    return [
        Watch(
            course.belief.disease.id,
            course.name,
            course.rulings.plantings[place],
            last_looked(course.facts, stand.key, course.belief.disease.id),
            suspected=bool(shown[place] >= leaf_disease_courses.ILL),
        )
        for place, stand in enumerate(course.belief.stands)
        if stand.treatable
    ]


def _cares(course: LeafCourse) -> dict[str, Care]:
    """Share of the yield that the leaves left keep, with and without the course."""
    cares, found = {}, course.found
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        steps = [step for step in found.steps if place in step.places]
        minutes = sum(course.rulings.minutes(step.candidate, place) for step in steps)
        cares[stand.key] = Care(
            left=leaf_disease_courses.yield_kept_by_leaf(found.without, place, found.loss),
            fought=leaf_disease_courses.yield_kept_by_leaf(found.with_it, place, found.loss),
            minutes=Care().minutes + minutes,
            treatments=float(sum(step.candidate.product is not None for step in steps)),
        )
    return cares
