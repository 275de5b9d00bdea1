"""Plantings as homes of an insect, and what work there shakes day by day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand, stands_of
from lattermath.belief.life_history import LifeHistory
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Care, Picking, Pulling, Sighting, Treatment
from lattermath.vocabulary.plot import Planting

# Judgement: share of the plants of a planting that a job shakes.
ALL, LOOKED_AT = 1.0, 0.3
USUAL_DAYS = 14  # judgement: what was picked within this is picked at the coming visits too
PICKED_AGAIN_DAYS = 14.0  # judgement: crops picked for longer than this are gone through each time


def homes_of(facts: SeasonFacts, life: LifeHistory) -> tuple[Stand, ...]:
    """Every planting it can live on, with the cold that kills its crop.

    Where all that was found of it keeps to few kinds of plant, only these are its homes.
    """
    tables = facts.tables
    kept = facts.kept_to.get(life.figures.organism)
    found = (
        one
        for one in stands_of(facts.plot, life.figures, tables.crosswalk, facts.first)
        if kept is None or kept.intersection(tables.crosswalk.hosts_of(one.crop))
    )
    return tuple(
        replace(one, killed_at_c=tables.crops[one.crop].frost_kill_c.value)
        if one.crop in tables.crops
        else one
        for one in found
    )


def worked(facts: SeasonFacts, stands: Sequence[Stand]) -> NDArray[np.float64]:
    """Share of the plants of each planting that work shakes, (n_days, n_plantings). [0 to 1]

    What the journal says was done; and at each coming visit the pickings that are usual then. What
    else a plan will do there is not foreseen.
    """
    keys = [stand.key for stand in stands]
    share = np.zeros((facts.t_min.shape[1], len(stands)))
    for event in facts.events:
        for key, shaken in _shaken(event.payload):
            day = facts.day_index(event.day)
            if key in keys and 0 <= day <= facts.today_index:
                place = keys.index(key)
                share[day, place] = max(share[day, place], shaken)
    for place, stand in enumerate(stands):
        first, last = _usually_picked(facts, facts.plot.planting(stand.key))
        for visit in facts.visits:
            day = facts.day_index(visit)
            if facts.today_index <= day < len(share) and first <= visit <= last:
                share[day, place] = ALL
    return share


def _shaken(done: object) -> Iterator[tuple[str, float]]:
    """Plantings that one entry of the journal says were worked on."""
    if isinstance(done, Treatment):
        yield from ((key, ALL) for key in done.plantings)
    elif isinstance(done, (Picking, Care, Pulling)):
        yield done.planting, ALL
    elif isinstance(done, Sighting) and done.looked_at:
        yield done.planting, LOOKED_AT


def _usually_picked(facts: SeasonFacts, planting: Planting) -> tuple[date, date]:
    """First and last day on which it is picked at every visit; never: the last before the first.

    From the first pick of its crop by the table, or from today where it was picked of late, for as
    long as its crop is picked. What is taken once, and the neighbour's, is not.
    """
    crop = facts.tables.crops.get(planting.crop)
    if crop is None or planting.neighbours_plot or crop.picking_days.value < PICKED_AGAIN_DAYS:
        return date.max, date.min
    since = timedelta(days=USUAL_DAYS)
    for event in facts.events:
        done = event.payload
        here = isinstance(done, Picking) and done.planting == planting.key
        if here and facts.today - since <= event.day <= facts.today:
            return facts.today, facts.last
    out = planting.set_out is not None
    wait = crop.setout_to_first_pick_days if out else crop.sow_to_first_pick_days
    if wait is None or planting.started is None:
        return date.max, date.min
    first = planting.started + timedelta(days=round(wait.value))
    return first, first + timedelta(days=round(crop.picking_days.value))
