"""What is probably true today of one insect on the plantings that it connects."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief, ClusterSky, believe_cluster
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.organisms import Habits
from lattermath.planning.courses import HAND_MINUTES_M2
from lattermath.vocabulary.events import Sighting, Treatment

FloatArray = NDArray[np.float64]

LAST_LAYERS_DAYS = 30  # judgement: within a month the old females are gone
HALF_YEAR, YEAR = 182.6, 365.25


def believe_insects(facts: SeasonFacts, organism: str) -> ClusterBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting."""
    tables = facts.tables
    habits = tables.habits[organism]
    defaults = tables.constants["defaults"].figures
    life = LifeHistory(read_life(tables.organisms[organism], defaults, habits))
    stands = stands_of(facts.plot, life.figures, tables.crosswalk, facts.first)
    seen = [
        read
        for event in facts.events
        if isinstance(event.payload, Sighting) and event.payload.what == organism
        if (
            read := read_sighting(
                event.payload, facts.day_index(event.day), event.serial, stands, life.figures
            )
        )
        is not None
    ]
    if not seen:
        return None
    keys = [stand.key for stand in stands]
    return believe_cluster(
        life,
        stands,
        ClusterSky(
            facts.t_min,
            facts.t_max,
            facts.rain,
            facts.future_of_draw,
            facts.today_index,
            _still_lay(facts, habits),
        ),
        seen,
        _applications(facts, life, organism, keys),
        [*(label.active for label in facts.plot.shelf), *HAND_MINUTES_M2],
        facts.dice,
    )


def _still_lay(facts: SeasonFacts, habits: Habits) -> FloatArray:
    """Share of the females that lay by day: new adults of late summer do not, old ones die off."""
    n_days = facts.t_min.shape[1]
    ends = habits.new_adults_lay_to
    if ends is None:
        return np.ones(n_days)
    north = facts.plot.place.latitude >= 0
    days = [facts.first + timedelta(days=n) for n in range(n_days)]
    into_year = np.array([day.timetuple().tm_yday for day in days], dtype=np.float64)
    since = into_year - ends.value if north else (into_year + HALF_YEAR) % YEAR - ends.value
    return np.asarray(np.clip(1.0 - since / LAST_LAYERS_DAYS, 0.0, 1.0))


def _applications(
    facts: SeasonFacts, life: LifeHistory, organism: str, keys: list[str]
) -> list[Application]:
    """The journal's treatments of these plantings that kill some stage of the organism."""
    found = []
    targets = facts.tables.crosswalk.targets.get(organism, ())
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or done.method not in facts.tables.methods:
            continue
        method = facts.tables.methods[done.method]
        effect = effect_of(method, organism, targets, life.stages)
        places = tuple(keys.index(key) for key in done.plantings if key in keys)
        if effect is not None and places:
            reach = reach_of(effect, done.surfaces, done.coverage, life.figures)
            day = facts.day_index(event.day)
            found.append(Application(day, effect, places, reach, event.serial))
    return found
