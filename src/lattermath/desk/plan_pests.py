"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_work import insect_part
from lattermath.desk.mildew_belief import believe_mildews
from lattermath.desk.mildew_work import mildew_part
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPart, PestPlans
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.events import Sighting

# Insects whose lives are reckoned; the others of the table are only named when seen.
MILDEW = "cucurbit_powdery_mildew"
FOLLOWED = ("greenhouse_whitefly", "sweetpotato_whitefly")


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> PestPlans:
    """Work out every organism that something was seen of."""
    parts = [*_insects(facts, beliefs, permits), *_mildews(facts, beliefs, permits)]
    return PestPlans(
        populations=tuple(part.population for part in parts),
        sprayings=_by_day(parts),
        watches=tuple(watch for part in parts for watch in part.watches),
        cares=_cares(parts),
        sick=frozenset(key for part in parts for key in part.sick),
        warnings=_not_followed(facts, {part.population.organism for part in parts}),
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


def _insects(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> Iterator[PestPart]:
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    for organism in FOLLOWED:
        belief = believe_insects(facts, organism) if organism in seen else None
        if belief is not None:
            yield insect_part(facts, belief, beliefs, permits)


def _mildews(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> Iterator[PestPart]:
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    belief = believe_mildews(facts, MILDEW) if MILDEW in seen else None
    if belief is not None:
        yield mildew_part(facts, belief, beliefs, permits)


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
        f"{facts.tables.named(what)} on {_name(facts, planting)}: seen, and not reckoned here yet."
        for what, planting in sorted(seen.items())
        if what not in followed
    )


def _name(facts: SeasonFacts, key: str) -> str:
    return next((p.name for p in facts.plot.plantings if p.key == key), key)
