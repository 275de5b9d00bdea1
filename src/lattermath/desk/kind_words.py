"""The word that growers have for a species and its like."""

from __future__ import annotations

from lattermath.belief.cluster_plantings import IN_FLOWER
from lattermath.desk.living_on import lives_on
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.tables import Tables

MANY = {"aphid": "aphids", "caterpillar": "caterpillars"}


def many_of(kind: str) -> str:
    """A kind as growers say it of many: `aphids`."""
    return MANY.get(kind, kind)


def kind_of(facts: SeasonFacts, what: str) -> str:
    """The word growers have for a species and its like; its own name where there is none."""
    kinds = facts.tables.crosswalk.kinds.items()
    kind = next((kind for kind, species in kinds if what == kind or what in species), "")
    return many_of(kind) or facts.tables.named(what)


def in_flowers(what: str, crop: str, tables: Tables) -> bool:
    """Whether a kind or species is looked for in the flowers of a crop: all that lives on it is."""
    species = tables.crosswalk.kinds.get(what, (what,))
    here = [one for one in species if one in tables.habits and lives_on(one, crop, tables)]
    gathers = bool(here) and all(tables.habits[one].flower_holds is not None for one in here)
    return gathers and tables.crosswalk.host(crop, IN_FLOWER) is not None
