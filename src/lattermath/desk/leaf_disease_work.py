"""The course against powdery mildew as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.leaf_disease import LeafBelief
from lattermath.desk.leaf_disease_belief import effects
from lattermath.desk.permits import CourseRulings, Permits
from lattermath.desk.pest_parts import (
    PestPart,
    amounts_for,
    bearing_days,
    last_looked,
    portions_to_come,
    seen_on,
)
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import course_search, courses, leaf_disease_courses
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.label import ProductLabel

BOTH_SIDES: tuple[Surface, ...] = ("underside", "top")


@dataclass(frozen=True, slots=True)
class LeafCourse:
    """One mildew with everything its course is told with."""

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
    """Search the course against one mildew, and say what it means for the plan."""
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    rulings = CourseRulings(facts, permits, plantings, areas)
    known, loss = effects(facts, belief.disease.id), _loss(belief)
    candidates = tuple(
        _candidate(facts, label) for label in facts.plot.shelf if label.active in known
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
            loss,
            facts.plot.household.worth_of_hour / 60,
            np.stack([bearing_days(facts, beliefs.get(p.key)) for p in plantings]),
        )
    )
    name = belief.disease.name
    course = LeafCourse(facts, belief, rulings, found, name)
    return PestPart(
        leaf_disease_courses.leaf_population(belief, found, rulings.visits, facts.today, name),
        tuple(_sprayings(course)),
        tuple(_watches(course)),
        _cares(course, loss),
        frozenset(seen_on(facts, belief.disease.id)) & {p.key for p in facts.plot.standing()},
    )


def _candidate(facts: SeasonFacts, label: ProductLabel) -> course_search.Candidate:
    """One product of the shelf, on both sides of the leaf, with what it costs."""
    method = facts.tables.methods[label.active]
    soft = "not classified" in method.group.lower() or method.group == "NC"
    hazard = facts.plot.household.worth_of_treatment * (courses.SOFT_HAZARD if soft else 1.0)
    return course_search.Candidate(
        key=label.key,
        method=label.active,
        product=label.key,
        name=label.name,
        effect=courses.no_effect(label.active),
        surfaces=BOTH_SIDES,
        coverage=courses.HAND_COVERAGE,
        minutes=courses.SPRAY_MINUTES_M2,
        minutes_once=courses.MIX_MINUTES,
        hazard=hazard,
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
                sprayed=True,
                wasted="" if first else f"the first {step.candidate.name} is wasted",
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


def _cares(course: LeafCourse, loss: float) -> dict[str, Care]:
    """Share of the yield that the leaves left keep, with and without the course."""
    cares, found = {}, course.found
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        steps = [step for step in found.steps if place in step.places]
        minutes = sum(course.rulings.minutes(step.candidate, place) for step in steps)
        cares[stand.key] = Care(
            left=leaf_disease_courses.yield_kept_by_leaf(found.without, place, loss),
            fought=leaf_disease_courses.yield_kept_by_leaf(found.with_it, place, loss),
            minutes=Care().minutes + minutes,
            treatments=float(len(steps)),
        )
    return cares


def _loss(belief: LeafBelief) -> float:
    """Share of the yield lost at a mean severity of 1; all of it where no figure exists."""
    figure = belief.disease.loss_per_unit_severity
    return 1.0 if figure is None else figure.value
