"""How a disease is told for which plantings come out: no more looks at what is gone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from lattermath.desk.leaf_progress import with_progress
from lattermath.desk.permits import Permits
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.leaf_disease_told import LOOK_AGAIN
from lattermath.vocabulary.plan import Population


def with_going(
    facts: SeasonFacts, permits: Permits, cares: Mapping[str, Care], population: Population
) -> Population:
    """A disease as it is told, with how far along it is by its own looks.

    Where plantings come out for it, it says so instead of asking to look at them again.
    """
    population = with_progress(facts, population)
    go = going_whole(cares)
    gone = [
        key
        for key in population.plantings
        if key in go and any(one.what == population.organism for one in permits.sick_on(key))
    ]
    if not gone or not population.course_says.endswith(LOOK_AGAIN):
        return population
    out = f"Taken out tonight for it: {_named(facts, gone)}."
    left = [
        p.key for p in facts.plot.standing() if p.key in population.plantings and p.key not in go
    ]
    if left:
        out = f"{out} Look at {_named(facts, left)} again at the next visit."
    says = population.course_says.removesuffix(LOOK_AGAIN) + out
    return replace(population, course_says=says)


def _named(facts: SeasonFacts, keys: Iterable[str]) -> str:
    return " and ".join(facts.plot.planting(key).name for key in keys)


def going_whole(cares: Mapping[str, Care]) -> frozenset[str]:
    """Plantings that come out whole."""
    return frozenset(key for key, care in cares.items() if care.must_go is not None)
