"""Clusters of insects: belief from what was seen, course, losses, and what each visit has to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief, ClusterSky, believe_cluster
from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.insect_work import insect_part
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPart
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.courses import HAND_MINUTES_M2
from lattermath.vocabulary.events import Sighting, Treatment

# Organisms whose lives are reckoned; the others of the table are only named when seen.
FOLLOWED = ("greenhouse_whitefly", "sweetpotato_whitefly")


def plan_insects(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> Iterator[PestPart]:
    """Work out each followed insect of which something was seen."""
    for organism in FOLLOWED:
        if any(_about(event.payload, organism) for event in facts.events):
            belief = believe(facts, organism)
            if belief is not None:
                yield insect_part(facts, belief, beliefs, permits)


def believe(facts: SeasonFacts, organism: str) -> ClusterBelief | None:
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


def _about(payload: object, organism: str) -> bool:
    return isinstance(payload, Sighting) and payload.what == organism


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
