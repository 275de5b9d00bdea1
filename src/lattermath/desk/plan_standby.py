"""The standby lots of a plan: what waits in cups, and what to sow in them now."""

from __future__ import annotations

import numpy as np

from lattermath.desk.cups_beside import infested_for
from lattermath.desk.plan_crops import CropPlans
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.cup_sowing import Gap, gap_of
from lattermath.planning.ground import ground_of
from lattermath.planning.standby import lot_advice, sowing_advice
from lattermath.vocabulary.plan import StandbyAdvice


def standby(facts: SeasonFacts, crops: CropPlans) -> tuple[StandbyAdvice, ...]:
    """Give one line for each lot in hand, then what to sow so that a plant waits for each gap."""
    visits = [facts.day_index(day) for day in facts.visits]
    lots = [
        lot_advice(lot, crops.season, visits, infested_for(facts, lot.lot.crop))
        for lot in crops.lots
    ]
    sow = sowing_advice(
        _gaps(facts, crops),
        crops.lots,
        facts.plot.tin,
        facts.plot.household,
        crops.season,
    )
    return (*lots, *sow)


def _gaps(facts: SeasonFacts, crops: CropPlans) -> list[Gap]:
    """Ground of plantings that are kept, and when each comes free."""
    found = []
    for key, decision in crops.decisions.items():
        if decision.verdict.verdict == "replace":
            continue
        belief = crops.beliefs[key]
        daily = sum((kg for _, kg in decision.chosen.parts), np.zeros(1))
        ground = ground_of(facts.plot, belief.planting, belief.traits)
        gap = gap_of(ground, np.asarray(daily), crops.season)
        if gap is not None:
            found.append(gap)
    return found
