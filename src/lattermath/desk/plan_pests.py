"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.leaf_disease_belief import followed_diseases
from lattermath.desk.leaf_disease_work import leaf_part
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPart, PestPlans
from lattermath.desk.plan_insects import plan_insects
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.treating import Spraying, joined
from lattermath.vocabulary.events import Sighting


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> PestPlans:
    """Work out every organism that something was seen of."""
    leaves = [leaf_part(facts, one, beliefs, permits) for one in followed_diseases(facts)]
    parts = [*plan_insects(facts, beliefs, permits), *leaves]
    return PestPlans(
        populations=tuple(part.population for part in parts),
        sprayings=_by_day(parts),
        watches=tuple(watch for part in parts for watch in part.watches),
        cares=_cares(parts),
        sick=frozenset(key for part in parts for key in part.sick),
        warnings=_not_followed(facts, {part.population.organism for part in parts}, permits),
    )


def without_pulled(pests: PestPlans, pulled: Mapping[str, date]) -> PestPlans:
    """The same plans without work on plantings from the day on which they come out.

    Nothing is treated that comes out soon after.
    """

    populations = []
    for population in pests.populations:
        steps = [
            replace(step, plantings=tuple(k for k in step.plantings if k not in pulled))
            for step in population.course
        ]
        kept = tuple(step for step in steps if step.plantings)
        populations.append(replace(population, course=kept))
    sprayings = {
        day: tuple(one for one in sprays if one.planting.key not in pulled)
        for day, sprays in pests.sprayings.items()
    }
    watches = tuple(watch for watch in pests.watches if watch.planting.key not in pulled)
    return replace(pests, populations=tuple(populations), sprayings=sprayings, watches=watches)


def _by_day(parts: Iterable[PestPart]) -> dict[date, tuple[Spraying, ...]]:
    found: dict[date, tuple[Spraying, ...]] = {}
    for part in parts:
        for day, spraying in part.sprayings:
            found[day] = (*found.get(day, ()), spraying)
    return {day: joined(sprayings) for day, sprayings in found.items()}


def _cares(parts: Iterable[PestPart]) -> dict[str, Care]:
    """Join what each organism leaves of a planting: what two take is taken twice."""
    found: dict[str, Care] = {}
    for part in parts:
        for key, care in part.cares.items():
            first = found.get(key)
            found[key] = care if first is None else _both(first, care)
    return found


def _both(one: Care, other: Care) -> Care:
    assert one.left is not None and other.left is not None
    assert one.fought is not None and other.fought is not None
    return Care(
        left=one.left * other.left,
        fought=one.fought * other.fought,
        minutes=one.minutes + other.minutes,
        treatments=one.treatments + other.treatments,
    )


def _not_followed(facts: SeasonFacts, followed: set[str], permits: Permits) -> tuple[str, ...]:
    """Say plainly what was seen and is not reckoned."""
    kinds = facts.tables.crosswalk.kinds
    seen = {
        event.payload.what: event.payload.planting
        for event in facts.events
        if isinstance(event.payload, Sighting)
    }
    return tuple(
        f"{what.replace('_', ' ').capitalize()} on {planting}: seen, and not reckoned here yet."
        for what, planting in sorted(seen.items())
        if what not in followed and what not in facts.tables.diseases
        if followed.isdisjoint(kinds.get(what, ()))
        if what not in {sick.what for sick in permits.sick_on(planting)}
    )
