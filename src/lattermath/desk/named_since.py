"""Whether what a grower saw in words of their own has been logged by its name."""

from __future__ import annotations

from lattermath.desk.plant_signs import likeliest
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.leaf_sightings import sick_leaves
from lattermath.planning.sick_leaves import SickLeaves
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting


def sick_by_planting(facts: SeasonFacts) -> dict[str, tuple[SickLeaves, ...]]:
    """What was seen on leaves by planting, but for own words that have a name since."""
    return {
        key: tuple(one for one in seen if not has_a_name(facts, one.what, facts.plot.planting(key)))
        for key, seen in sick_leaves(facts.events, facts.tables).items()
    }


def has_a_name(facts: SeasonFacts, words: str, planting: Planting) -> bool:
    """Was the insect that these words most likely mean logged on that planting by its name?

    What may be a leaf disease is left as it was said, with the dry leaves that it asks for.
    """
    tables = facts.tables
    logged = {
        seen.what
        for event in facts.events
        if isinstance(seen := event.payload, Sighting) and seen.planting == planting.key
    }
    insects = logged & set(tables.organisms)
    if tables.crosswalk.seen_as(words) is not None or not insects:
        return False
    cause = likeliest(words, planting, tables, facts.plot.place.lies_in)
    return bool(insects & set(tables.crosswalk.cause_joins.get(cause, ())))
