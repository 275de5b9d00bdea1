"""The standby lots of a plan: what waits in cups, and what to sow in them now."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.lot_belief import believe_lot
from lattermath.desk.cups_beside import infested_for
from lattermath.desk.plan_crops import CropPlans
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.cup_sowing import Gap, gap_of, is_raised, makes_it, plants_wanted
from lattermath.planning.ground import Ground, ground_of
from lattermath.planning.picking_tasks import WORTH_PICKING_KG
from lattermath.planning.reserve import last_sowings, may_fail, reserve, reserve_advice
from lattermath.planning.season_left import gap_crops
from lattermath.planning.standby import CHANCE_OF_ENOUGH, lot_advice, sowing_advice
from lattermath.planning.young_losses import losses_of, stands
from lattermath.vocabulary.plan import LastSowing, StandbyAdvice
from lattermath.vocabulary.plot import StandbyLot


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
    more = _reserve(facts, crops, {one.crop for one in sow})
    return (*lots, *sow, *more)


def last_useful(facts: SeasonFacts, crops: CropPlans) -> tuple[LastSowing, ...]:
    """Give the last useful sowing of each crop in the tin."""
    return last_sowings(facts.plot.tin, crops.season)


def _reserve(
    facts: SeasonFacts, crops: CropPlans, sown: Collection[str]
) -> tuple[StandbyAdvice, ...]:
    """The first crop of the gap list to sow now for what may fail; nothing where none suits.

    sown : crops that are sown anyway, for ground that is expected to come free.
    """
    season, tin = crops.season, facts.plot.tin
    fails = [
        may_fail(ground, daily, season)
        for ground, daily in _kept(facts, crops)
        if gap_of(ground, daily, season) is None  # else it is sown for when its day comes
    ]
    order = {crop: n for n, crop in enumerate(gap_crops(season)[0])}
    packets = sorted(tin.packets, key=lambda p: (order.get(p.crop, len(order)), p.crop))
    for packet in packets:
        traits = season.traits(packet.crop)
        if packet.crop in sown or not is_raised(traits, packet, season):
            continue
        cups = StandbyLot("reserve", packet.crop, 1, facts.today, tin.cup_ml)
        lot = believe_lot(replace(cups, days_to_maturity=packet.days_to_maturity), season)
        ready = lot.ready_column()
        same = [one for one in crops.lots if one.lot.crop == packet.crop and not one.lost]
        held = sum(one.expected for one in same if one.coils_column() >= ready)
        losses = losses_of(traits, season, ready)
        up = makes_it(traits, season)
        made = up.share
        most = plants_wanted(traits, facts.plot.household)
        found = reserve(
            fails, lot, held, made * stands(losses), most, packet.seeds, CHANCE_OF_ENOUGH
        )
        if found is not None:
            return (reserve_advice(found, made, losses, tin, season, up.untested),)
    return ()


def _gaps(facts: SeasonFacts, crops: CropPlans) -> list[Gap]:
    """Ground of plantings that are kept, and when each comes free.

    What is let run, and of which nothing more is expected, stands there all the same: it is not
    said to be empty from today on beside advice to let it stand.
    """
    gaps = (
        gap_of(ground, daily, crops.season)
        for ground, daily in _kept(facts, crops)
        if np.median(daily.sum(axis=1)) >= WORTH_PICKING_KG
    )
    return [gap for gap in gaps if gap is not None]


def _kept(facts: SeasonFacts, crops: CropPlans) -> Iterator[tuple[Ground, NDArray[np.float64]]]:
    """Ground of plantings that are kept, and what each still gives by day."""
    for key, decision in crops.decisions.items():
        if decision.verdict.verdict == "replace":
            continue
        belief = crops.beliefs[key]
        daily = np.array(sum((kg for _, kg in decision.chosen.parts), np.zeros(1)))
        if decision.chosen.after is not None and daily.ndim > 1:
            daily[:, -1] += decision.chosen.after.kg  # it stands there until it is lifted
        yield ground_of(facts.plot, belief.planting, belief.traits), daily
