"""The course against one cluster of insects as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from lattermath.desk.covers import covered_now, keeps_out
from lattermath.desk.insect_course import Cluster, Searched, mesh_candidate, sick, suspects
from lattermath.desk.pest_parts import FRESH_DAYS, PestPart, amounts_for, last_looked, seen_on
from lattermath.planning import course_search, courses
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.means import MESH, no_course
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.plan import CourseStep
from lattermath.vocabulary.ruling import Because


def insect_part(searched: Searched) -> PestPart:
    """Say what the course found against one cluster means for the plan."""
    cluster, found = searched.cluster, searched.found
    facts, belief = cluster.facts, cluster.belief
    # What would be if nothing at all were done, also against others.
    found = replace(found, without=course_search.run_course(belief, (), searched.task.visits))
    told = courses.population_of(
        belief, found, cluster.visits, facts.today, cluster.name, sick(facts, belief)
    )
    population = replace(
        told,
        course=_whole_course(searched, told.course),
        generation_days=cluster.rulings.generation_days,
        because=(*told.because, *_besides(searched)),
    )
    return PestPart(
        population,
        own_work(searched, population.because[:2]),
        tuple(_watches(searched)),
        _cares(searched, found),
        sick(facts, belief),
        tuple(_shared(searched)),
    )


def own_work(
    searched: Searched, because: tuple[Because, ...] = ()
) -> tuple[tuple[date, Spraying], ...]:
    """The treatments of its own course, by day: the cover, and one for each step and planting."""
    return (*_mesh_laid(searched), *_sprayings(searched, because))


def _besides(searched: Searched) -> Iterator[Because]:
    """The cover that is laid, with its figure, and what is on hand and no course."""
    facts, organism = searched.cluster.facts, searched.cluster.belief.organism
    keeps = keeps_out(facts, organism)
    if keeps is not None and (searched.mesh or covered_now(facts)):
        low, middle, high = (round(10 * share) for share in keeps[0])
        says = f"the cover keeps about {middle} of 10 adults out ({low} to {high})"
        yield Because(says, rests_on=(keeps[1],))
    words = facts.tables.crosswalk.targets.get(organism, ())
    yield from no_course(facts.plot, words, facts.tables.methods)


def _whole_course(searched: Searched, own: tuple[CourseStep, ...]) -> tuple[CourseStep, ...]:
    """Its own steps, the cover, and what is done against others and takes of it, by day."""
    steps = list(own)
    for day, one in (*_mesh_laid(searched), *_shared(searched)):
        says = (
            one.product_name
            if one.method == MESH
            else f"{one.product_name}, as planned against others"
        )
        steps.append(CourseStep(day, one.method, one.product, (one.planting.key,), says))
    return tuple(sorted(steps, key=lambda step: step.day))


def _shared(searched: Searched) -> Iterator[tuple[date, Spraying]]:
    """Treatments against others that take of this one where it was seen: one work for both."""
    cluster = searched.cluster
    effects = cluster.effects([one.method for _, one in searched.others])
    here = sick(cluster.facts, cluster.belief)
    for day, one in searched.others:
        if one.method in effects and one.planting.key in here and day in cluster.visits:
            yield (
                day,
                replace(
                    one,
                    target=cluster.belief.organism,
                    target_name=cluster.name,
                    generation_days=cluster.rulings.generation_days,
                    because=(),
                ),
            )


def _mesh_laid(searched: Searched) -> Iterator[tuple[date, Spraying]]:
    """The cover, laid at the first visit."""
    cluster = searched.cluster
    candidate = mesh_candidate(cluster.facts)
    for n, place in enumerate(searched.mesh):
        yield (
            cluster.visits[0],
            Spraying(
                method=MESH,
                product=None,
                target=cluster.belief.organism,
                target_name=cluster.name,
                planting=cluster.rulings.plantings[place],
                minutes=cluster.rulings.minutes(candidate, place, first=n == 0),
                amounts=(),
                surfaces=candidate.surfaces,
                product_name=candidate.name,
                sprayed=False,
                sure=False,
            ),
        )


def _sprayings(searched: Searched, because: tuple[Because, ...]) -> list[tuple[date, Spraying]]:
    """One treatment for each step and planting, by day."""
    course, found = searched.cluster, searched.found
    work, ill = [], sick(course.facts, course.belief)
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
                sure=planting.key in ill,
                wasted="" if first or not label else f"the first {candidate.name} is wasted",
                because=because,
                generation_days=course.rulings.generation_days,
            )))  # fmt: skip
    return work


def _only_if(course: Cluster, place: int, day: date) -> str:
    """A treatment that rests on an old look, or on none of them found, waits for a fresh one."""
    key = course.belief.stands[place].key
    looked = last_looked(course.facts, key, course.belief.organism)
    there = key in seen_on(course.facts, course.belief.organism)
    if there and looked is not None and (day - looked).days <= FRESH_DAYS:
        return ""
    return "the look finds them still there"


def _watches(searched: Searched) -> list[Watch]:
    """Every own planting of the cluster: suspects, and those beside what is treated first."""
    course, found = searched.cluster, searched.found
    beside = courses.look_beside(course.belief, found) if found.steps else ()
    treated = {
        course.belief.stands[p].key: course.rulings.visits[step.visit]
        for step in reversed(found.steps)
        for p in step.places
    }
    ill = sick(course.facts, course.belief)
    likely = suspects(course.belief) | ill
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
                suspected=stand.key in likely,
                found=stand.key in ill,
                neighbour_of_sick=stand.key in beside,
                decides="the treatment" if waits else "",
                decides_on=day if waits else None,
            )
        )
    return watches


def _cares(searched: Searched, found: course_search.Found) -> dict[str, Care]:
    """Share of the yield that feeding leaves, with and without the course."""
    course, hurts = searched.cluster, searched.cluster.hurts
    life, cares = course.belief.life, {}
    appetite = np.array([life.figures.appetite(s) for s in life.stages])
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        steps = [step for step in found.steps if place in step.places]
        cares[stand.key] = Care(
            left=courses.yield_kept(found.without[:, place], stand, appetite, hurts),
            fought=courses.yield_kept(found.with_it[:, place], stand, appetite, hurts),
            minutes=Care().minutes + sum(course.rulings.minutes(s.candidate, place) for s in steps),
            treatments=float(sum(s.candidate.product is not None for s in steps)),
        )
    return cares
