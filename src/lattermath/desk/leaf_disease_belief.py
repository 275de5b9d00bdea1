"""What is probably true today of powdery mildew on the plantings it spreads between."""

from __future__ import annotations

import numpy as np

from lattermath.belief.leaf_disease import (
    LeafApplication,
    LeafBelief,
    LeafSky,
    believe_leaf_disease,
    leaf_reach,
)
from lattermath.belief.leaf_disease_effect import LeafEffect, leaf_effect
from lattermath.belief.leaf_disease_sightings import LeafStand, leaf_stands, read_leaf_sighting
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting, Treatment


def believe_leaf_disease_here(facts: SeasonFacts, disease_id: str) -> LeafBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting."""
    disease = facts.tables.diseases[disease_id]
    stands = leaf_stands(facts.plot, disease, facts.tables.crosswalk)
    seen = [
        read
        for event in facts.events
        if isinstance(event.payload, Sighting) and event.payload.what == disease_id
        if (
            read := read_leaf_sighting(
                event.payload, facts.day_index(event.day), event.serial, stands
            )
        )
        is not None
    ]
    if not seen:
        return None
    sky = LeafSky(
        facts.t_min,
        facts.t_max,
        np.median(facts.rain, axis=0),
        facts.future_of_draw,
        facts.today_index,
    )
    return believe_leaf_disease(
        disease,
        stands,
        sky,
        seen,
        _applications(facts, disease_id, stands),
        list(effects(facts, disease_id)),
        facts.dice,
    )


def effects(facts: SeasonFacts, disease_id: str) -> dict[str, LeafEffect]:
    """What each method of the tables does to the mildew, by method."""
    words = facts.tables.crosswalk.targets.get(disease_id, ())
    found = {key: leaf_effect(method, words) for key, method in facts.tables.methods.items()}
    return {key: effect for key, effect in found.items() if effect is not None}


def _applications(
    facts: SeasonFacts, disease_id: str, stands: tuple[LeafStand, ...]
) -> list[LeafApplication]:
    """The journal's treatments of these plantings that do anything to the mildew."""
    known, keys = effects(facts, disease_id), [stand.key for stand in stands]
    found = []
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or done.method not in known:
            continue
        places = tuple(keys.index(key) for key in done.plantings if key in keys)
        if places:
            effect = known[done.method]
            reach = leaf_reach(effect, done.surfaces, done.coverage)
            day = facts.day_index(event.day)
            found.append(LeafApplication(day, effect, places, reach, event.serial))
    return found
