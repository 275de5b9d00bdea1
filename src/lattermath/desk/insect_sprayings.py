"""The treatments of a course against insects as work: by day, each with its minutes and amounts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from lattermath.desk.covers import covered_now, keeps_out, mesh_candidate
from lattermath.desk.insect_cluster import Cluster, Searched
from lattermath.desk.particle_film import film_sprayed
from lattermath.desk.pest_parts import FRESH_DAYS, amounts_for
from lattermath.planning.courses import takes_told
from lattermath.planning.means import MESH
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.ruling import Because


def own_work(
    searched: Searched, because: tuple[Because, ...] = ()
) -> tuple[tuple[date, Spraying], ...]:
    """The treatments of its own course, by day: cover, film, one for each step and planting."""
    return (*mesh_laid(searched), *film_sprayed(searched), *_sprayings(searched, because))


def mesh_laid(searched: Searched) -> Iterator[tuple[date, Spraying]]:
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


def cover_told(searched: Searched) -> Iterator[Because]:
    """What the cover that is laid keeps out."""
    facts, organism = searched.cluster.facts, searched.cluster.belief.organism
    keeps = keeps_out(facts, organism)
    if keeps is not None and (searched.mesh or covered_now(facts)):
        low, middle, high = (round(10 * share) for share in keeps[0])
        says = f"the cover keeps about {middle} of 10 adults out ({low} to {high})"
        yield Because(says, rests_on=(keeps[1],))


def _sprayings(searched: Searched, because: tuple[Because, ...]) -> list[tuple[date, Spraying]]:
    """One treatment for each step and planting, by day."""
    course, found = searched.cluster, searched.found
    work = []
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
                only_if=only_if(course, place, day),
                sure=planting.key in course.sick,
                wasted="" if first or not label else f"the first {candidate.name} is wasted",
                because=(*because, takes_told(candidate, course.belief)) if because else (),
                generation_days=course.rulings.generation_days,
            )))  # fmt: skip
    return work


def with_worth_of_each(
    searched: Searched, work: Iterable[tuple[date, Spraying]]
) -> tuple[tuple[date, Spraying], ...]:
    """The treatments with what each saves of its planting on the mean.

    All that the course saves there, in equal parts: enough to say which to leave out first.
    """
    stakes, found = searched.task.stakes, searched.found
    days = stakes.days + 1
    saved = stakes.lost(found.without[:, :, :days]) - stakes.lost(found.with_it[:, :, :days])
    worth = np.maximum(saved.mean(0), 0.0)
    keys = [stand.key for stand in searched.cluster.belief.stands]
    work = tuple(work)
    number = Counter(one.planting.key for _, one in work)
    each = {key: float(worth[place]) / number[key] for place, key in enumerate(keys) if number[key]}
    return tuple((day, replace(one, worth=each[one.planting.key])) for day, one in work)


def only_if(course: Cluster, place: int, day: date) -> str:
    """A treatment that rests on an old look, or on none of them found, waits for a fresh one."""
    key = course.belief.stands[place].key
    looked = course.looked.get(key)
    if key in course.sick and looked is not None and (day - looked).days <= FRESH_DAYS:
        return ""
    word = course.belief.life.figures.habits.counted_word
    still = " still there" if key in course.sick else ""
    return f"the look finds any {word}{still}"
