"""What leaf diseases of the plot leave of new plants, crop by crop, wherever they are put in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clean_leaves import on_clean_plants
from lattermath.desk.leaf_disease_course import LeafSearched
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.young_in_beds import with_young
from lattermath.planning.fates import Care
from lattermath.planning.treatment_request import bare

if TYPE_CHECKING:
    from lattermath.desk.insect_cluster import Searched

FloatArray = NDArray[np.float64]


def with_sickening(
    facts: SeasonFacts,
    leaves: Iterable[LeafSearched],
    cares: Mapping[str, Care],
    insects: Sequence[Searched] = (),
) -> dict[str, Care]:
    """The cares of every own planting and bed, with what diseases leave of clean plants there.

    New plants are not treated in it; on other crops than a disease lives on it takes nothing.

    insects : courses against insects, which take of clean plants in bare beds too.
    """
    found = with_young(facts, insects, cares)
    searched = list(leaves)
    crops = {lot.crop for lot in facts.plot.lots} | {p.crop for p in facts.plot.tin.packets}
    if not searched or not crops:
        return found
    kept: dict[tuple[str, int, float], FloatArray] = {}
    keys = [planting.key for planting in facts.plot.standing()]
    keys += [bare(bed).key for bed in facts.plot.beds]
    for key in keys:
        left = {crop: share for crop in crops
                if (share := _left(facts, searched, key, crop, kept)) is not None}  # fmt: skip
        if left:
            found[key] = replace(found.get(key, Care()), sickens=left)
    return found


def _left(
    facts: SeasonFacts,
    searched: Iterable[LeafSearched],
    key: str,
    crop: str,
    kept: dict[tuple[str, int, float], FloatArray],
) -> FloatArray | None:
    """Share of a clean crop's yield that all of them leave by day; None where none lives on it."""
    total = None
    for one in searched:
        belief = one.case.belief
        host = facts.tables.crosswalk.host(crop, belief.disease.hosts)
        if host is None:
            continue
        suits = belief.disease.hosts[host].value
        place = next((n for n, stand in enumerate(belief.stands) if stand.key == key), 0)
        place = place if belief.response.shape[1] > 1 else 0
        asked = (belief.disease.id, place, suits)
        if asked not in kept:
            severity = on_clean_plants(belief, place, suits)[:, 1:].mean(-1)
            kept[asked] = np.asarray(1.0 - one.found.loss.lost(severity))
        total = kept[asked] if total is None else total * kept[asked]
    return total
