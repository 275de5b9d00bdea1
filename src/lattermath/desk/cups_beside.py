"""Cups that stand on the plot among plants that carry what lives on them too."""

from __future__ import annotations

from lattermath.desk.living_on import among_hosts
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting


def infested_for(facts: SeasonFacts, crop: str) -> tuple[str, ...]:
    """Own plantings on which something was seen that lives on this crop too, with its name."""
    names = {planting.key: planting.name for planting in facts.plot.standing()}
    return tuple(
        f"{names[key]} ({facts.tables.named(what)})" for key, what in infested(facts, crop)
    )


def infested(facts: SeasonFacts, crop: str) -> tuple[tuple[str, str], ...]:
    """Keys of own plantings and what was seen there that lives on this crop too, as of now."""
    names = {planting.key for planting in facts.plot.standing()}
    found: dict[tuple[str, str], None] = {}
    lives: dict[str, bool] = {}
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.planting not in names:
            continue
        if seen.what not in lives:
            lives[seen.what] = _lives_on(facts, seen.what, crop)
        if seen.found_none or not lives[seen.what]:
            found.pop((seen.planting, seen.what), None)
            continue
        found[seen.planting, seen.what] = None
    kinds = facts.tables.crosswalk.kinds
    return tuple(  # a kind is not told again beside its own species
        (key, what)
        for key, what in found
        if not any((key, s) in found for s in kinds.get(what, ()))
    )


def _lives_on(facts: SeasonFacts, what: str, crop: str) -> bool:
    """Whether an organism, or one that a kind may be, lives on a crop."""
    species = facts.tables.crosswalk.kinds.get(what, (what,))
    known = (facts.tables.organisms.get(organism) for organism in species)
    return any(held and among_hosts(held.hosts, crop, facts.tables) for held in known)
