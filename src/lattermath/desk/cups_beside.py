"""Cups that stand on the plot among plants that carry what lives on them too."""

from __future__ import annotations

from lattermath.desk.living_on import finds_of, found_living_on
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
    finds = finds_of(facts.events, facts.plot, facts.tables)
    lives = found_living_on(finds, crop, facts.tables)
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.planting not in names:
            continue
        if seen.found_none or seen.what not in lives:
            found.pop((seen.planting, seen.what), None)
            continue
        found[seen.planting, seen.what] = None
    kinds = facts.tables.crosswalk.kinds
    return tuple(  # a kind is not told again beside its own species
        (key, what)
        for key, what in found
        if not any((key, s) in found for s in kinds.get(what, ()))
    )
