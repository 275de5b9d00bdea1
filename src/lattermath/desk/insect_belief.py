"""What is probably true today of one insect on the plantings that it connects."""

from __future__ import annotations

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief, ClusterSky, believe_cluster
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.courses import HAND_MINUTES_M2
from lattermath.vocabulary.events import Sighting, Treatment


def believe_insects(facts: SeasonFacts, organism: str) -> ClusterBelief | None:
    """Weigh everything seen and done; None where nothing seen stands on a planting."""
    tables = facts.tables
    life = LifeHistory(read_life(tables.organisms[organism], tables.constants["defaults"].figures))
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
        ClusterSky(facts.t_min, facts.t_max, facts.rain, facts.future_of_draw, facts.today_index),
        seen,
        _applications(facts, life, organism, keys),
        [*(label.active for label in facts.plot.shelf), *HAND_MINUTES_M2],
        facts.dice,
    )


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
