"""When a severity on leaves is not what was believed of the disease before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import numpy as np

from lattermath.belief.leaf_disease import LeafBelief
from lattermath.belief.leaf_disease_sightings import LeafSeen, read_leaf_sighting
from lattermath.belief.leaf_sighting_check import leaf_checked, leaf_worth_checking
from lattermath.belief.sighting_check import Check
from lattermath.desk.leaf_disease_belief import believe_leaf_disease_here
from lattermath.desk.leaf_nights import leaf_nights
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.sighting_told import NEW_DAYS, leaf_at_odds_says
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import Population


def leaf_with_odds(facts: SeasonFacts, belief: LeafBelief, population: Population) -> Population:
    """A population with the new severity that is most at odds with the belief without it.

    The first sighting of all is held against what was to be expected before anything was seen.
    """
    found, first = [], len(belief.serials) < 2
    for event, seen in _newest(facts, belief):
        if leaf_worth_checking(seen, belief.past, first=first):
            check = _checked(facts, belief, event)
            if check is not None and check.at_odds:
                found.append((check.tail, event.serial, event, seen, check))
    if not found:
        return population
    _, _, event, seen, check = min(found, key=lambda f: f[:2])
    says = leaf_at_odds_says(_what(belief, event, seen), check, first=first)
    return replace(population, disagrees=says)


def _newest(facts: SeasonFacts, belief: LeafBelief) -> Iterator[tuple[Event, LeafSeen]]:
    """The last sighting on each planting, of late."""
    by_place: dict[int, list[tuple[Event, LeafSeen]]] = {}
    for event in sorted(facts.events, key=lambda e: (e.day, e.serial)):
        if isinstance(event.payload, Sighting) and event.payload.what == belief.disease.id:
            day = facts.day_index(event.day) - belief.first_day
            seen = read_leaf_sighting(event.payload, day, event.serial, belief.stands)
            if seen is not None:
                by_place.setdefault(seen.place, []).append((event, seen))
    for looks in by_place.values():
        event, seen = looks[-1]
        if facts.today - event.day <= timedelta(days=NEW_DAYS):
            yield event, seen


def _checked(facts: SeasonFacts, belief: LeafBelief, odd: Event) -> Check | None:
    """Held against the belief in everything but this one sighting, or in nothing where it is all.

    None where it no longer says anything of these plantings.
    """
    without = replace(facts, events=tuple(e for e in facts.events if e is not odd))
    nights = leaf_nights(facts) if belief.disease.spread_by_wet_leaves else None
    before = believe_leaf_disease_here(without, belief.disease.id, nights)
    first = before is None
    before = before or believe_leaf_disease_here(facts, belief.disease.id, nights, learns=False)
    if before is None or not isinstance(odd.payload, Sighting):
        return None
    day = facts.day_index(odd.day) - before.first_day
    seen = read_leaf_sighting(odd.payload, day, odd.serial, before.stands)
    if seen is None or day < 0:
        return None
    weights = np.full(before.n_draws, 1 / before.n_draws)
    return leaf_checked(seen, before.past, weights, first=first)


def _what(belief: LeafBelief, event: Event, seen: LeafSeen) -> str:
    name = belief.stands[seen.place].name
    side = {None: "leaves", 0: "tops", 1: "undersides"}[seen.surface]
    if seen.percent is None:
        return f"{name}: {seen.level or 'seen'} on the {side} on {short(event.day)}"
    return f"{name}: {seen.percent:g} % of the {side} on {short(event.day)}"
