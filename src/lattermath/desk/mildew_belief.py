"""What is probably true today of powdery mildew on the plantings it spreads between."""

from __future__ import annotations

import numpy as np

from lattermath.belief.mildew_clusters import (
    MildewApplication,
    MildewBelief,
    MildewSky,
    believe_mildew,
    mildew_reach,
)
from lattermath.belief.mildew_effect import MildewEffect, mildew_effect
from lattermath.belief.mildew_sightings import MildewStand, mildew_stands, read_mildew_sighting
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting, Treatment


def believe_mildews(facts: SeasonFacts, disease_id: str) -> MildewBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting."""
    disease = facts.tables.diseases[disease_id]
    stands = mildew_stands(facts.plot, disease, facts.tables.crosswalk)
    seen = [
        read
        for event in facts.events
        if isinstance(event.payload, Sighting) and event.payload.what == disease_id
        if (
            read := read_mildew_sighting(
                event.payload, facts.day_index(event.day), event.serial, stands
            )
        )
        is not None
    ]
    if not seen:
        return None
    sky = MildewSky(
        facts.t_min,
        facts.t_max,
        np.median(facts.rain, axis=0),
        facts.future_of_draw,
        facts.today_index,
    )
    return believe_mildew(
        disease,
        stands,
        sky,
        seen,
        _applications(facts, disease_id, stands),
        list(effects(facts, disease_id)),
        facts.dice,
    )


def effects(facts: SeasonFacts, disease_id: str) -> dict[str, MildewEffect]:
    """What each method of the tables does to the mildew, by method."""
    words = facts.tables.crosswalk.targets.get(disease_id, ())
    found = {key: mildew_effect(method, words) for key, method in facts.tables.methods.items()}
    return {key: effect for key, effect in found.items() if effect is not None}


def _applications(
    facts: SeasonFacts, disease_id: str, stands: tuple[MildewStand, ...]
) -> list[MildewApplication]:
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
            reach = mildew_reach(effect, done.surfaces, done.coverage)
            day = facts.day_index(event.day)
            found.append(MildewApplication(day, effect, places, reach, event.serial))
    return found
