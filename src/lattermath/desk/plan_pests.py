"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from lattermath.desk.covers import to_uncover
from lattermath.desk.identity import identified, told
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import cluster_of
from lattermath.desk.insect_work import insect_part
from lattermath.desk.joint_courses import search_together
from lattermath.desk.leaf_disease_course import leaf_cases
from lattermath.desk.leaf_disease_work import leaf_part
from lattermath.desk.not_followed import not_followed
from lattermath.desk.pest_parts import PestPart, PestPlans, cares_of
from lattermath.desk.pests_together import search_all
from lattermath.planning.treating import Spraying, joined
from lattermath.vocabulary.events import Sighting

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.permits import Permits
    from lattermath.desk.season_facts import SeasonFacts


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> PestPlans:
    """Work out every organism that something was seen of."""
    parts = list(_parts(facts, beliefs, permits))
    return PestPlans(
        populations=tuple(part.population for part in parts),
        sprayings=_by_day(parts),
        watches=tuple(watch for part in parts for watch in part.watches),
        cares=cares_of(parts),
        sick=frozenset(key for part in parts for key in part.sick),
        warnings=(
            *not_followed(facts, {part.population.organism for part in parts}, permits),
            *to_uncover(facts),
        ),
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


def _parts(
    as_logged: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> Iterator[PestPart]:
    """Work out all together; what is planned against one counts for the others."""
    facts, known = identified(as_logged)
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    clusters = [
        cluster_of(facts, belief, beliefs, permits)
        for organism in facts.tables.organisms
        if organism in seen and (belief := believe_insects(facts, organism)) is not None
    ]
    joint = search_all(clusters, leaf_cases(as_logged, beliefs, permits), search_together)
    for searched in joint.insects:
        part = insect_part(searched)
        yield replace(part, population=told(as_logged, part.population, known))
    for leaf in joint.leaves:
        yield leaf_part(leaf)


def _by_day(parts: Iterable[PestPart]) -> dict[date, tuple[Spraying, ...]]:
    found: dict[date, tuple[Spraying, ...]] = {}
    for part in parts:
        for day, spraying in (*part.sprayings, *part.shared):
            found[day] = (*found.get(day, ()), spraying)
    return {day: joined(sprayings) for day, sprayings in found.items()}
