"""What the water that can be carried leaves of each planting's yield."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.formed import kept_of_formed
from lattermath.belief.soil import BedSoil
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.tables import Tables
from lattermath.planning.watering import may_use_hose
from lattermath.science.water_rounds import stress_at_visits, yield_left

DrawDays = NDArray[np.float64]

USUAL_RESPONSE = 1.0  # judgement: crops without a figure lose as much as they go short


def with_drought(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], ground: Mapping[str, BedSoil]
) -> dict[str, CropBelief]:
    """The crops as they will bear when the coming visits water them with what water there is.

    Ground is refilled at every visit as far as the water goes; what grows between visits goes
    short in shallow soil and heat. The same share holds for whatever is put in that ground.
    """
    keys = [key for key in beliefs if key in ground]
    if not keys:
        return dict(beliefs)
    first = ground[keys[0]]
    soils = [ground[key] for key in keys]
    kc = np.stack([soil.kc for soil in soils])
    ks = stress_at_visits(
        np.stack([soil.depletion_mm[:, 0] for soil in soils]),
        np.stack([soil.taw_mm for soil in soils]),
        np.stack([soil.raw_mm for soil in soils]),
        kc,
        first.et0_mm,
        first.rain_mm,
        {(day - facts.today).days for day in facts.visits},
        np.array([soil.litres_a_mm for soil in soils]),
        _litres_a_visit(facts),
    )
    found = dict(beliefs)
    for n, key in enumerate(keys):
        response = response_of(facts.tables, beliefs[key].traits.crop)
        found[key] = dried(beliefs[key], yield_left(ks[n], kc[n] * first.et0_mm, response))
    return found


def dried(belief: CropBelief, water: DrawDays) -> CropBelief:
    """A planting whose yield from today on is what its water leaves, (n_draws, n_left).

    What is in the ground already a drought does not unmake.
    """
    water = kept_of_formed(belief, water)
    kg = belief.kg.copy()
    kg[:, belief.today :] *= water
    return replace(belief, kg=kg, water=water)


def response_of(tables: Tables, crop: str) -> float:
    """Yield response factor of a crop."""
    row = tables.rows["drought"].get(crop)
    return USUAL_RESPONSE if row is None else row.figure("response").value


def _litres_a_visit(facts: SeasonFacts) -> float | None:
    """Water there is at one visit; None: as much as is wanted."""
    supply = facts.plot.water
    if supply.cans_a_visit is None or may_use_hose(supply, facts.plot.rules).allowed:
        return None
    return supply.cans_a_visit * supply.can_litres
