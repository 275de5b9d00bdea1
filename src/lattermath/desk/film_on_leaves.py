"""Particle film on this plot: which product makes it, and on which plantings it lies."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.keeping_off import Film, film_of, kept_off
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.courses import HAND_COVERAGE
from lattermath.vocabulary.events import Treatment
from lattermath.vocabulary.label import ProductLabel

MATTERS_DAYS = 35  # judgement: after five weeks of growth little of a film is left


def film_against(facts: SeasonFacts, organism: str, method: str) -> Film | None:
    """What a film of a method keeps off an organism."""
    words = facts.tables.crosswalk.targets.get(organism, ())
    held = facts.tables.methods.get(method)
    return None if held is None else film_of(held, organism, words)


def film_on_shelf(facts: SeasonFacts, organism: str) -> tuple[ProductLabel, Film] | None:
    """The first product at hand that makes a film against the organism."""
    for label in facts.usable:
        film = film_against(facts, organism, label.active)
        if film is not None:
            return label, film
    return None


def filmed(facts: SeasonFacts, belief: ClusterBelief, places: Sequence[int]) -> ClusterBelief:
    """The cluster if these places get a film at the first coming visit."""
    found = film_on_shelf(facts, belief.organism)
    if found is None or not places or not facts.evenings:
        return belief
    day = facts.day_index(facts.evenings[0].day) - belief.first_day
    label, film = found
    return _on(belief, film, label.active, places, day, HAND_COVERAGE)


def under_film(facts: SeasonFacts, belief: ClusterBelief) -> ClusterBelief:
    """The cluster with the films that were sprayed and still lie, from today on."""
    keys = [stand.key for stand in belief.stands]
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or (facts.today - event.day).days > MATTERS_DAYS:
            continue
        film = film_against(facts, belief.organism, done.method)
        places = [keys.index(key) for key in done.plantings if key in keys]
        if film is not None and places:
            day = facts.day_index(event.day) - belief.first_day
            if day >= 0:
                belief = _on(belief, film, done.method, places, day, done.coverage)
    return belief


def _on(
    belief: ClusterBelief,
    film: Film,
    method: str,
    places: Sequence[int],
    day: int,
    coverage: float,
) -> ClusterBelief:
    known = belief.unknowns.quantiles.get(method)
    uniform = np.full(belief.n_draws, 0.5) if known is None else known
    return kept_off(belief, film, places, day, coverage, uniform)
