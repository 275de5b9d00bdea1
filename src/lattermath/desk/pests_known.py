"""What is known to live on the plantings, ready to be searched for courses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.vocabulary.events import Sighting

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.permits import Permits
    from lattermath.desk.season_facts import SeasonFacts


def clusters_of(
    facts: SeasonFacts,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> list[Cluster]:
    """One cluster for each insect or mite that something was seen of."""
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    return [
        cluster_of(facts, belief, beliefs, permits)
        for organism in facts.tables.organisms
        if organism in seen and (belief := believe_insects(facts, organism, held=True)) is not None
    ]
