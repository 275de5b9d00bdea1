"""Works out crops, pests, water and standby lots from the facts of a plan."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from lattermath.desk.crop_season import believe_crops, believe_lots, growing_season
from lattermath.desk.cups_and_ground import cups_and_ground
from lattermath.desk.drought import with_drought
from lattermath.desk.keep_or_pull import decide_together
from lattermath.desk.leaf_disease_answers import (
    look_behind,
    say_diseases,
    with_diseases,
    with_sick,
)
from lattermath.desk.lots_between_beds import decide_with_exchange
from lattermath.desk.permits import permits_of
from lattermath.desk.picking_rounds import pick_bars, say_never_clear, with_picks
from lattermath.desk.plan_pests import plan_pests, told_pests, without_pulled
from lattermath.desk.plan_picking import clearances
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts

if TYPE_CHECKING:
    from lattermath.desk.pest_parts import PestPlans
    from lattermath.desk.plan_crops import CropPlans
    from lattermath.planning.fates import Care

Progress = Callable[[str, float], None]


def work_out(facts: SeasonFacts, tell: Progress) -> WorkedOut:
    """Work it all out; `tell` hears what is being done and how far it is."""
    tell("growing the crops", 0.1)
    season = growing_season(facts)
    beliefs = believe_crops(facts, season)
    lots = believe_lots(facts, season)
    tell("following what lives on them", 0.25)
    permits = permits_of(facts, beliefs)
    beliefs = with_drought(facts, beliefs, permits.ground)
    permits = replace(permits, picks=pick_bars(facts, beliefs, permits))
    tell("weighing keep or replace", 0.6)

    def plan(out: Collection[str], before: PestPlans | None) -> PestPlans:
        again = None if before is None else before.again
        found = plan_pests(facts, beliefs, permits) if again is None else again(out)
        return with_picks(facts, beliefs, with_sick(facts, found, permits), permits)

    def decide(cares: Mapping[str, Care], *, dated: bool, rough: bool = False) -> CropPlans:
        known = (facts, season, beliefs, lots, cares, permits)
        return decide_with_exchange(*known, dated=dated, rough=rough)

    crops, pests = decide_together(facts, season, plan, decide)
    pests = with_diseases(facts, told_pests(facts, pests, permits), permits)
    crops = say_never_clear(facts, say_diseases(facts, crops, pests, permits), permits)
    pests = look_behind(facts, crops, pests)
    ahead = cups_and_ground(facts, crops, permits, pests.against)
    return WorkedOut(
        crops=crops,
        pests=without_pulled(pests, crops.pulled(facts), facts.today),
        clearances=clearances(
            facts, permits.cautions, max([facts.now, *(a.at for a in facts.applied)])
        ),
        standby=ahead.standby,
        ground=permits.ground,
        permits=permits,
        last_sowings=ahead.last_sowings,
        bare=ahead.bare,
    )
