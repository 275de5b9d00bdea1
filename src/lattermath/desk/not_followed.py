"""What was seen and is not reckoned, said plainly."""

from __future__ import annotations

from lattermath.desk.identity import species_on
from lattermath.desk.named_since import has_a_name
from lattermath.desk.permits import Permits
from lattermath.desk.plant_signs import look_at, no_course_on, of_the_plant
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import capital

UNRECKONED = "seen, and not reckoned here yet"


def not_followed(facts: SeasonFacts, followed: set[str], permits: Permits) -> tuple[str, ...]:
    """Say plainly what was seen, and not only looked for, and is not reckoned."""
    seen = {
        (event.payload.what, event.payload.planting)
        for event in facts.events
        if isinstance(event.payload, Sighting) and not event.payload.found_none
        if not _is_followed(facts, followed, event.payload)
        if not _is_out(facts, event.payload.planting)
    }
    where: dict[tuple[str, str], list[str]] = {}
    for what, key in sorted(seen):
        if _is_told(facts, permits, what, key):
            where.setdefault((what, _instead(facts, what, key)), []).append(_name(facts, key))
    return tuple(
        capital(f"{facts.tables.named(what)} on {', '.join(names)}: {says}.")
        for (what, says), names in where.items()
    )


def _is_told(facts: SeasonFacts, permits: Permits, what: str, key: str) -> bool:
    """Whether nothing else on the sheet answers it."""
    if what in facts.tables.diseases or what in facts.tables.enemies:
        return False
    planting = _planting(facts, key)
    if of_the_plant(what, planting, facts.tables):
        return False
    if what in {sick.what for sick in permits.sick_on(key)}:
        return False
    return planting is None or not has_a_name(facts, what, planting)


def _is_followed(facts: SeasonFacts, followed: set[str], seen: Sighting) -> bool:
    """Whether it is reckoned: a kind is, where one of its species can live on that crop."""
    if seen.what not in facts.tables.crosswalk.kinds:
        return seen.what in followed
    return not followed.isdisjoint(species_on(facts, seen.what, seen.planting))


def _instead(facts: SeasonFacts, what: str, planting: str) -> str:
    """What is said where nothing is reckoned: the look for it, what hands can do where a look
    would only say that, or what keeps an animal off."""
    animal = facts.tables.crosswalk.animal(what)
    if animal is None:
        if by_hand := _by_hand(facts, what, _planting(facts, planting)):
            return by_hand
        look = look_at(what, _planting(facts, planting), facts.tables)
        return f"seen, not reckoned: {look}" if look else UNRECKONED
    return f"watched, not reckoned; to keep {animal[0]} off: {animal[1]} (common practice)"


def _by_hand(facts: SeasonFacts, what: str, planting: Planting | None) -> str:
    if planting is None:
        return ""
    return no_course_on(what, planting, facts.tables, facts.plot.place.lies_in)


def _planting(facts: SeasonFacts, key: str) -> Planting | None:
    return next((p for p in facts.plot.plantings if p.key == key), None)


def _is_out(facts: SeasonFacts, key: str) -> bool:
    """Whether all of a planting was pulled: nobody can look at it again."""
    planting = _planting(facts, key)
    return planting is not None and planting.pulled is not None


def _name(facts: SeasonFacts, key: str) -> str:
    planting = _planting(facts, key)
    return key if planting is None else planting.name
