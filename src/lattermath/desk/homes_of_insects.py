"""Plantings as homes of an insect, and what work and season bring to them day by day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand, stands_of
from lattermath.belief.cluster_runs import PlotDays
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory, arriving
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.organisms import Habits
from lattermath.vocabulary.events import Care, Picking, Sighting, Treatment

HALF_YEAR, YEAR = 182.6, 365.25
# Judgement: share of the plants of a planting that a job shakes.
ALL, LOOKED_AT, TO_COME = 1.0, 0.3, 0.5


def worked(facts: SeasonFacts, stands: Sequence[Stand]) -> NDArray[np.float64]:
    """Share of the plants of each planting that work shakes, (n_days, n_plantings). [0 to 1]

    Of a coming visit half of every own planting, whatever the plan does there; nobody works on the
    neighbour's.
    """
    keys = [stand.key for stand in stands]
    share = np.zeros((facts.t_min.shape[1], len(stands)))
    for event in facts.events:
        day = facts.day_index(event.day)
        if 0 <= day <= facts.today_index:
            for key, shaken in _shaken(event.payload):
                if key in keys:
                    place = keys.index(key)
                    share[day, place] = max(share[day, place], shaken)
    own = np.array([stand.treatable for stand in stands], dtype=np.float64)
    for visit in facts.visits:
        day = facts.day_index(visit)
        if facts.today_index <= day < len(share):
            share[day] = np.maximum(share[day], TO_COME * own)
    return share


def _shaken(done: object) -> Iterator[tuple[str, float]]:
    """Plantings that one entry of the journal says were worked on."""
    if isinstance(done, Treatment):
        yield from ((key, ALL) for key in done.plantings)
    elif isinstance(done, (Picking, Care)):
        yield done.planting, ALL
    elif isinstance(done, Sighting) and done.looked_at:
        yield done.planting, LOOKED_AT


def life_of(facts: SeasonFacts, organism: str) -> LifeHistory:
    """The life of an insect by the tables."""
    tables = facts.tables
    defaults = tables.constants["defaults"].figures
    return LifeHistory(read_life(tables.organisms[organism], defaults, tables.habits[organism]))


def homes_of(facts: SeasonFacts, life: LifeHistory) -> tuple[Stand, ...]:
    """Every planting it can live on, with the cold that kills its crop."""
    tables = facts.tables
    found = stands_of(facts.plot, life.figures, tables.crosswalk, facts.first)
    return tuple(
        replace(one, killed_at_c=tables.crops[one.crop].frost_kill_c.value)
        if one.crop in tables.crops
        else one
        for one in found
    )


def plot_days(facts: SeasonFacts, stands: Sequence[Stand], habits: Habits) -> PlotDays:
    """Work on these plantings, and the season of arrivals of the insect, by day of the facts."""
    return PlotDays(worked(facts, stands), arriving(*habits.arrives, into_year(facts)))


def into_year(facts: SeasonFacts) -> NDArray[np.float64]:
    """Day of the year by day, in the south as if half a year on, (n_days,)."""
    days = [facts.first + timedelta(days=n) for n in range(facts.t_min.shape[1])]
    north = np.array([day.timetuple().tm_yday for day in days], dtype=np.float64)
    return north if facts.plot.place.latitude >= 0 else (north + HALF_YEAR) % YEAR
