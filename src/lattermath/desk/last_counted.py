"""What was last counted of an insect where most of it are believed, in words."""

from __future__ import annotations

from collections.abc import Collection

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.stage_words import named_stages
from lattermath.planning.courses import worst_place
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.measure import roughly


def last_counted(facts: SeasonFacts, belief: ClusterBelief, sick: Collection[str]) -> str:
    """What was last counted where most are believed, in words; "" for nothing.

    sick : keys of the plantings on which it was seen.
    """
    habits = belief.life.figures.habits
    planting = belief.stands[worst_place(belief, sick)].key
    unit = ("plants", "plant") if habits.counted_by_plant else ("leaves", "leaf")
    stages = facts.tables.organisms[belief.organism].stages
    counts = [
        (event.day, event.serial, found)
        for event in facts.events
        if isinstance(seen := event.payload, Sighting)
        and (seen.planting, seen.what) == (planting, belief.organism)
        and all(s.startswith(habits.counted) for s in named_stages(seen.stage, stages))
        and (found := _found(seen, unit))
    ]
    if not counts:
        return ""
    day, _, found = max(counts)
    return f" Last counted there, {said(day)}: {found}."


def _found(seen: Sighting, unit: tuple[str, str]) -> str:
    """What a count, a share or a class of what was looked at told; "" where it was none of them.

    unit : what is counted on, many and one of it.
    """
    many, one = ("flowers", "flower") if seen.surface == "flowers" else unit
    if seen.measure not in ("count", "some"):
        return ""
    if seen.counts:
        return f"{roughly(sum(seen.counts) / len(seen.counts))} a {one}"
    if seen.level is not None:
        return f"{seen.level} on {counted(seen.looked_at, many, one)}" if seen.looked_at else ""
    if seen.total is None or not seen.looked_at:
        return ""
    if seen.measure == "some":
        return f"some on {seen.total:g} of {counted(seen.looked_at, many, one)}"
    return f"{roughly(seen.total / seen.looked_at)} a {one}"
