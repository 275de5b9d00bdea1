"""The word that growers have for a species and its like."""

from __future__ import annotations

from lattermath.desk.season_facts import SeasonFacts

MANY = {"aphid": "aphids", "caterpillar": "caterpillars"}


def kind_of(facts: SeasonFacts, what: str) -> str:
    """The word growers have for a species and its like; its own name where there is none."""
    kinds = facts.tables.crosswalk.kinds.items()
    kind = next((kind for kind, species in kinds if what == kind or what in species), "")
    return MANY.get(kind, kind) or facts.tables.named(what)
