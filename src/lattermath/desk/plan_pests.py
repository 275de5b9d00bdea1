"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.insect_plans import plan_insects
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPart
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.looking import Watch
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Population


@dataclass(frozen=True, slots=True)
class PestPlans:
    """Populations with their courses, and what each visit has to do about them."""

    populations: tuple[Population, ...] = ()
    sprayings: Mapping[date, tuple[Spraying, ...]] = field(default_factory=dict)
    watches: tuple[Watch, ...] = ()
    cares: Mapping[str, Care] = field(default_factory=dict)
    sick: frozenset[str] = frozenset()
    warnings: tuple[str, ...] = ()


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> PestPlans:
    """Work out every organism that something was seen of."""
    parts = [*plan_insects(facts, beliefs, permits)]
    return PestPlans(
        populations=tuple(part.population for part in parts),
        sprayings=_by_day(parts),
        watches=tuple(watch for part in parts for watch in part.watches),
        cares=_cares(parts),
        sick=frozenset(key for part in parts for key in part.sick),
        warnings=_not_followed(facts, {part.population.organism for part in parts}),
    )


def _by_day(parts: Iterable[PestPart]) -> dict[date, tuple[Spraying, ...]]:
    found: dict[date, tuple[Spraying, ...]] = {}
    for part in parts:
        for day, spraying in part.sprayings:
            found[day] = (*found.get(day, ()), spraying)
    return found


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


def _not_followed(facts: SeasonFacts, followed: set[str]) -> tuple[str, ...]:
    """Say plainly what was seen and is not reckoned."""
    seen = {
        event.payload.what: event.payload.planting
        for event in facts.events
        if isinstance(event.payload, Sighting)
    }
    return tuple(
        f"{what.replace('_', ' ').capitalize()} on {planting}: seen, and not reckoned here yet."
        for what, planting in sorted(seen.items())
        if what not in followed
    )
