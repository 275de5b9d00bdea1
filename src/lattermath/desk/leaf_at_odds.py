"""When a severity on leaves is not what was believed of the disease before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_disease import LeafBelief
from lattermath.belief.leaf_disease_sightings import LeafSeen, read_leaf_sighting
from lattermath.belief.leaf_explanations import leaf_explained
from lattermath.belief.leaf_sighting_check import leaf_checked, leaf_worth_checking
from lattermath.desk.leaf_disease_belief import believe_leaf_disease_here
from lattermath.desk.leaf_nights import leaf_nights
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.sighting_told import (
    NEW_DAYS,
    leaf_at_odds_says,
    leaf_look_says,
    leaf_may_be,
)
from lattermath.vocabulary.at_odds import Disagreement
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Event, Sighting, Treatment
from lattermath.vocabulary.plan import Population

FloatArray: TypeAlias = NDArray[np.float64]
_Case: TypeAlias = tuple[LeafSeen, FloatArray, FloatArray]


def leaf_with_odds(facts: SeasonFacts, belief: LeafBelief, population: Population) -> Population:
    """A population with each planting's new severity that is at odds with the belief without it.

    The worst first.
    The first sighting of all is held against what was to be expected before anything was seen.
    """
    found, first = [], len(belief.serials) < 2
    for event, seen in _newest(facts, belief):
        if leaf_worth_checking(seen, belief.past, first=first):
            case = _without(facts, belief, event)
            check = None if case is None else leaf_checked(*case, first=first)
            if case is not None and check is not None and check.at_odds:
                found.append((check.tail, event.serial, event, seen, check, case))
    if not found:
        return population
    told, at = [], []
    for _, _, event, seen, check, case in sorted(found, key=lambda f: f[:2]):
        ranked = _ranked(facts, belief, event, case, first)
        says = leaf_at_odds_says(_what(belief, event, seen), check)
        look = leaf_look_says(ranked, belief.stands[seen.place].name)
        told.append(Disagreement(says, leaf_may_be(ranked), look))
        at.append(belief.stands[seen.place].key)
    worst, *others = told
    return replace(
        population,
        disagrees=worst.says,
        may_be=worst.may_be,
        to_tell=worst.to_tell,
        more_at_odds=tuple(others),
        look_at=tuple(dict.fromkeys(at)),
    )


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


def _without(facts: SeasonFacts, belief: LeafBelief, odd: Event) -> _Case | None:
    """The sighting, the belief in everything but it, and weights; of a first one in nothing at all.

    None where it no longer says anything of these plantings.
    """
    without = replace(facts, events=tuple(e for e in facts.events if e is not odd))
    before = _believed(without, belief) or _believed(facts, belief, learns=False)
    if before is None or not isinstance(odd.payload, Sighting):
        return None
    day = facts.day_index(odd.day) - before.first_day
    seen = read_leaf_sighting(odd.payload, day, odd.serial, before.stands)
    if seen is None or day < 0:
        return None
    return seen, before.past, np.full(before.n_draws, 1 / before.n_draws)


def _ranked(
    facts: SeasonFacts, belief: LeafBelief, odd: Event, case: _Case, first: bool
) -> list[tuple[str, float]]:
    """What may explain it; sprays between the sighting before and it may have failed."""
    seen, past, _ = case
    earlier = [e.day for e in facts.events if e.day < odd.day and _is_of(e, belief)]
    since = max(earlier, default=facts.first)
    done = {a.serial for a in belief.applied if seen.place in a.places}
    sprays = [e for e in facts.events if e.serial in done and since <= e.day
              and e.happened_at < odd.happened_at
              and isinstance(e.payload, Treatment) and e.payload.product]  # fmt: skip
    unsprayed = stranger = None
    if not first and not seen.found_none:
        other = _believed(facts, belief, learns=False)
        stranger = None if other is None else _on_days(other, past, seen)
    if sprays and not first:
        left = tuple(e for e in facts.events if e is not odd and e not in sprays)
        bare = _believed(replace(facts, events=left), belief)
        unsprayed = None if bare is None else _on_days(bare, past, seen)
    return leaf_explained(seen, past, unsprayed, stranger, first=first)


def _on_days(other: LeafBelief, past: FloatArray, seen: LeafSeen) -> FloatArray | None:
    """Severities of another belief on the days of this one; None where the look is not among them.

    Both end today, and may begin on other days.
    """
    days = past.shape[2]
    if seen.day < days - other.past.shape[2]:
        return None
    whole = np.zeros((len(other.past), *past.shape[1:]))
    both = min(days, other.past.shape[2])
    whole[:, :, days - both :] = other.past[:, :, other.past.shape[2] - both :]
    return whole


def _believed(facts: SeasonFacts, belief: LeafBelief, *, learns: bool = True) -> LeafBelief | None:
    nights = leaf_nights(facts) if belief.disease.spread_by_wet_leaves else None
    return believe_leaf_disease_here(facts, belief.disease.id, nights, learns=learns)


def _is_of(event: Event, belief: LeafBelief) -> bool:
    return isinstance(event.payload, Sighting) and event.payload.what == belief.disease.id


def _what(belief: LeafBelief, event: Event, seen: LeafSeen) -> str:
    name = belief.stands[seen.place].name
    side = {None: "leaves", 0: "tops", 1: "undersides"}[seen.surface]
    if seen.percent is None:
        return f"{name}: {seen.level or 'seen'} on the {side} on {short(event.day)}"
    return f"{name}: {seen.percent:g} % of the {side} on {short(event.day)}"
