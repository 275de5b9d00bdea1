"""Particle film in a course: sprayed at the first visit where it is worth its work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from lattermath.desk.film_on_leaves import film_on_shelf, filmed
from lattermath.desk.kept_courses import search_course
from lattermath.desk.pest_parts import amounts_for
from lattermath.planning import course_task, courses
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.ruling import Because

if TYPE_CHECKING:
    from lattermath.desk.insect_cluster import Others, Searched

SIDES: tuple[Surface, ...] = ("underside", "top")


def with_film(plain: Searched) -> Searched:
    """The same, or with a film on plantings from the first visit on, where that pays.

    What it saves is run, place by place; then the course is searched again beside it.
    """
    cluster, task = plain.cluster, plain.task
    found = film_on_shelf(cluster.facts, cluster.belief.organism)
    places = [] if found is None else _may_film(plain, found[0])
    if found is None or not places:
        return plain
    bare, kept = (
        course_task.run_course(belief, plain.found.steps, task.visits, by_chance=False)
        for belief in (task.belief, filmed(cluster.facts, task.belief, places))
    )
    saved = (task.stakes.lost(bare) - task.stakes.lost(kept)).mean(0)
    candidate = film_candidate(plain, found[0])
    pays = tuple(p for p in places if saved[p] > course_task.work_on(task, candidate, (p,)))
    if not pays:
        return plain
    tried = _searched_beside(replace(plain, film=pays))
    worth = tried.found.cost + film_work(tried)
    return tried if worth < plain.found.cost else plain


def film_work(searched: Searched) -> float:
    """Minutes and hazard of the film. [portions]"""
    label = _label(searched)
    if not searched.film or label is None:
        return 0.0
    candidate = film_candidate(searched, label)
    once = candidate.minutes_once * searched.task.minute_costs
    return once + course_task.work_on(searched.task, candidate, searched.film)


def film_sprayed(searched: Searched) -> Iterator[tuple[date, Spraying]]:
    """The film, sprayed at the first visit."""
    label, cluster = _label(searched), searched.cluster
    if not searched.film or label is None:
        return
    candidate = film_candidate(searched, label)
    for n, place in enumerate(searched.film):
        planting = cluster.rulings.plantings[place]
        yield (
            cluster.visits[0],
            Spraying(
                method=label.active,
                product=label.key,
                target=cluster.belief.organism,
                target_name=cluster.name,
                planting=planting,
                minutes=cluster.rulings.minutes(candidate, place, first=n == 0),
                amounts=amounts_for(cluster.facts, label, planting, SIDES),
                surfaces=SIDES,
                product_name=label.name,
                sprayed=True,
                sure=False,
                generation_days=cluster.rulings.generation_days,
            ),
        )


def film_told(searched: Searched) -> Iterator[Because]:
    """What the film keeps off, and what not."""
    found = film_on_shelf(searched.cluster.facts, searched.cluster.belief.organism)
    if searched.film and found is not None:
        low, middle, high = (round(10 * share) for share in found[1].landing)
        says = (
            f"the film kills nobody: about {middle} of 10 adults that come do not settle "
            f"({low} to {high}), less with rain and new leaf"
        )
        yield Because(says, rests_on=found[1].rests_on)


def film_candidate(searched: Searched, label: ProductLabel) -> course_task.Candidate:
    """The film as a treatment is asked for."""
    household = searched.cluster.facts.plot.household
    return course_task.Candidate(
        label.key, label.active, label.key, label.name, courses.no_effect(label.active), SIDES,
        courses.HAND_COVERAGE, courses.SPRAY_MINUTES_M2, courses.MIX_MINUTES,
        household.worth_of_treatment * courses.SOFT_HAZARD,
    )  # fmt: skip


def _label(searched: Searched) -> ProductLabel | None:
    found = film_on_shelf(searched.cluster.facts, searched.cluster.belief.organism)
    return None if found is None else found[0]


def _may_film(plain: Searched, label: ProductLabel) -> list[int]:
    """Own places on which it may be sprayed at the first visit."""
    task, candidate = plain.task, film_candidate(plain, label)
    if not task.visits:
        return []
    done = {(one.product, one.planting.key) for _, one in plain.others}
    return [
        place
        for place, stand in enumerate(task.belief.stands)
        if stand.treatable and (label.key, stand.key) not in done
        if task.permits(candidate, 0, stand.key, ()).allowed
    ]


def _searched_beside(tried: Searched) -> Searched:
    """The course searched anew under the film, which its rulings count as done."""
    cluster, film = tried.cluster, tuple(film_sprayed(tried))
    beside: Others = (*tried.others, *film)
    rulings = replace(cluster.rulings, others=beside, _ruled={})
    belief = filmed(cluster.facts, tried.task.belief, tried.film)
    task = replace(tried.task, belief=belief, permits=rulings.permit, barred=rulings.barred)
    found = search_course(task, *rulings.made_from)
    return replace(tried, task=task, found=found, rulings=rulings)
