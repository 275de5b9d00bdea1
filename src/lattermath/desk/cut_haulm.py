"""Potatoes whose haulm was cut: they grow no more, and lie in the ground until they are lifted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import light_grown_in
from lattermath.belief.formed import formed_share
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tubers_wait import blighted, last_care
from lattermath.planning.potatoes import CUT, LIFT, SET_SKIN_DAYS
from lattermath.vocabulary.events import Care, Picking


def after_cutting(facts: SeasonFacts, belief: CropBelief) -> CropBelief:
    """The planting as it is: after its haulm was cut, all that had grown comes at the lifting.

    Lifted from two weeks after the cut; what was weighed before is taken off. Before they are full
    grown, tubers are as large by then as the warmth has let them get. Blighted haulm that stands is
    taken as cut today, as the sheet asks.
    """
    cut = [
        facts.day_index(event.day)
        for event in facts.events
        if isinstance(event.payload, Care)
        and event.payload.planting == belief.planting.key
        and event.payload.work == CUT
    ]
    is_lifted = (belief.planting.key, LIFT) in last_care(facts)
    if not cut and not is_lifted and belief.planting.key in blighted(facts):
        cut = [facts.today_index]
    if not cut or belief.planting.crop != "potato":
        return belief
    column = max(min(cut), 0)
    lift = min(max(min(cut) + SET_SKIN_DAYS, belief.today), belief.kg.shape[1] - 1)
    lifted = sum(
        event.payload.kg or 0.0
        for event in facts.events
        if isinstance(event.payload, Picking) and event.payload.planting == belief.planting.key
    )
    kg = belief.kg.copy()
    size = formed_share(belief)[:, min(column, kg.shape[1])]
    light = light_grown_in(belief.climate, belief.age)
    whole = belief.planting.plants * belief.unknowns.plant_kg * belief.health * light
    grown = np.asarray(whole * size - lifted).clip(min=0.0)
    kg[:, column:] = 0.0
    kg[:, lift] += grown
    return replace(belief, kg=kg, haulm_off=not is_lifted, haulm_cut=True)
