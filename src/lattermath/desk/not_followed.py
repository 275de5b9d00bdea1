"""What was seen and is not reckoned, said plainly."""

from __future__ import annotations

from lattermath.desk.identity import species_on
from lattermath.desk.permits import Permits
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.disorder_signs import of_disorder
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.sentence import capital


def not_followed(facts: SeasonFacts, followed: set[str], permits: Permits) -> tuple[str, ...]:
    """Say plainly what was seen, and not only looked for, and is not reckoned."""
    seen = {
        event.payload.what: event.payload.planting
        for event in facts.events
        if isinstance(event.payload, Sighting) and not event.payload.found_none
        if not _is_followed(facts, followed, event.payload)
    }
    return tuple(
        capital(f"{facts.tables.named(what)} on {_name(facts, planting)}: {_instead(facts, what)}.")
        for what, planting in sorted(seen.items())
        if what not in facts.tables.diseases
        if what not in facts.tables.enemies and not of_disorder(what)
        if what not in {sick.what for sick in permits.sick_on(planting)}
    )


def _is_followed(facts: SeasonFacts, followed: set[str], seen: Sighting) -> bool:
    """Whether it is reckoned: a kind is, where one of its species can live on that crop."""
    if seen.what not in facts.tables.crosswalk.kinds:
        return seen.what in followed
    return not followed.isdisjoint(species_on(facts, seen.what, seen.planting))


def _instead(facts: SeasonFacts, what: str) -> str:
    """What is said where nothing is reckoned: what keeps an animal off, if that is known."""
    animal = facts.tables.crosswalk.animal(what)
    if animal is None:
        return "seen, and not reckoned here yet"
    return f"watched, not reckoned; to keep {animal[0]} off: {animal[1]} (common practice)"


def _name(facts: SeasonFacts, key: str) -> str:
    return next((p.name for p in facts.plot.plantings if p.key == key), key)
