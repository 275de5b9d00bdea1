"""Sowing in cups so that a ready plant, not a coiled one, waits when ground comes free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import (
    emergence_of,
    last_planting_of,
    nursery_of,
    untested_soil,
)
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import nursery_heat
from lattermath.planning.ground import Ground
from lattermath.planning.season_left import UNTESTED, gap_crops, usual_frost
from lattermath.planning.worth import want_for
from lattermath.vocabulary.plot import Household, SeedPacket, Tin

CUP_SURVIVAL = 0.92  # judgement: slugs, damping off and a dry day between coming up and setting out
UNKNOWN_STAND = 0.8  # judgement: where no stand was ever tested
POOR_STAND = 50.0  # judgement: below this in 100 the warmth itself is the trouble
GROWS_WELL = ("good", "fair")  # how it takes the move, in the table's words
SURPLUS = 1.5  # judgement: plants beyond what the household can eat from are not worth a cup
NEARLY_ALL = 0.95  # of what is left of a planting: then its ground is as good as free
WEATHER_AHEAD_DAYS = 10  # over which seed in cups comes up


@dataclass(frozen=True, slots=True)
class Gap:
    """Ground that comes free, and the column on which it is expected to."""

    ground: Ground
    opens: int


@dataclass(frozen=True, slots=True)
class Sowing:
    """A sowing in cups that could fill a gap: due on one column, useful until another."""

    gap: Gap
    traits: CropTraits
    due: int
    last: int
    plants: int


class MakesIt(NamedTuple):
    """Share of seeds that make a plant to set out, and whether heat is what spoils them.

    untested : in what warmth nobody tested the crop, in words; "" where somebody did.
    """

    share: float
    too_warm: bool
    untested: str = ""


def gap_of(ground: Ground, kg_left: NDArray[np.float64], season: GrowingSeason) -> Gap | None:
    """When the ground of a kept planting comes free; None where frost comes first.

    kg_left : what it still gives on each day from today, (n_draws, n_left).
    """
    weather = season.weather
    taken = np.cumsum(kg_left, axis=1)
    total = np.maximum(taken[:, -1:], 1e-9)
    spent = (taken >= NEARLY_ALL * total).argmax(axis=1)
    opens = weather.today + int(np.median(np.where(taken[:, -1] > 0, spent, 0)))
    return None if opens >= usual_frost(season) else Gap(ground, opens)


def sowings(gap: Gap, tin: Tin, household: Household, season: GrowingSeason) -> list[Sowing]:
    """Sowings from the tin that could fill a gap in time, best first by the weeks to frost."""
    fillers, _ = gap_crops(season)
    order = {crop: k for k, crop in enumerate(fillers)}
    found = [
        sowing(gap, packet, household, season)
        for packet in tin.packets
        if can_fill(gap, packet, season)
    ]
    useful = [one for one in found if one.due <= one.last]
    return sorted(useful, key=lambda s: (order.get(s.traits.crop, len(order)), s.traits.crop))


def sowing(gap: Gap, packet: SeedPacket, household: Household, season: GrowingSeason) -> Sowing:
    """The sowing of one packet for one gap: when due, until when useful, how many plants."""
    traits = season.traits(packet.crop).with_packet(packet.days_to_maturity)
    due = gap.opens - nursery_days_before(traits, season, gap.opens)
    plants = min(traits.plants_on(gap.ground.area_m2), plants_wanted(traits, household))
    return Sowing(gap, traits, due, last_useful_sowing(traits, season), plants)


def can_fill(gap: Gap, packet: SeedPacket, season: GrowingSeason) -> bool:
    """There is seed, the crop takes the move, the ground suits it, and it is not too late."""
    traits = season.traits(packet.crop)
    return gap.ground.suits(traits).holds and is_raised(traits, packet, season)


def is_raised(traits: CropTraits, packet: SeedPacket, season: GrowingSeason) -> bool:
    """There is seed, the crop takes the move, and a sowing in cups today is not too late."""
    return (
        packet.seeds > 0
        and traits.nursery is not None
        and traits.from_set_out is not None
        and traits.nursery.transplants in GROWS_WELL
        and last_useful_sowing(traits, season) >= season.weather.today
    )


def last_useful_sowing(traits: CropTraits, season: GrowingSeason) -> int:
    """Column of the last sowing in cups that still pays here, by the frost of half the futures.

    The count-back rule gives the last setting out; the days in the cup come off before it, in
    this place's own warmth.
    """
    set_out = int(last_planting_of(traits, "set out", usual_frost(season)).day)
    return set_out - nursery_days_before(traits, season, set_out)


def nursery_days_before(traits: CropTraits, season: GrowingSeason, column: int) -> int:
    """Days before a column on which to sow so that the cup is full on it, in half the draws. [d]"""
    nursery = nursery_of(traits)
    full = sum(nursery.ready_heat) / 2
    heat = np.median(nursery_heat(traits, season.weather, 0), axis=0)
    end = min(max(column, 0), len(heat) - 1)
    early = np.flatnonzero(heat[: end + 1] <= heat[end] - full)
    return end - int(early[-1]) if len(early) else round(nursery.usual_age_days)


def ready_if_sown_today(traits: CropTraits, season: GrowingSeason) -> int | None:
    """Column on which a lot sown today is ready in half the draws; None: not this season."""
    heat = np.median(nursery_heat(traits, season.weather, season.weather.today), axis=0)
    there = heat >= nursery_of(traits).ready_heat[0]
    return int(there.argmax()) if there.any() else None


def makes_it(traits: CropTraits, season: GrowingSeason) -> MakesIt:
    """Share of seeds sown in cups now that make a plant, in the coming days' mean warmth."""
    weather = season.weather
    coming = slice(weather.today, weather.today + WEATHER_AHEAD_DAYS)
    mean = float(np.mean((weather.t_min[:, coming] + weather.t_max[:, coming]) / 2))
    try:
        stand = emergence_of(season.tables, traits.crop, mean).stand_percent
    except ValueError:  # nobody tested that warmth
        where = untested_soil(season.tables, traits.crop, mean)
        return MakesIt(sum(UNTESTED) / 2 * CUP_SURVIVAL, False, where)
    if stand is None:
        return MakesIt(UNKNOWN_STAND * CUP_SURVIVAL, False)
    return MakesIt(stand / 100 * CUP_SURVIVAL, stand < POOR_STAND)


def plants_wanted(traits: CropTraits, household: Household) -> int:
    """Plants from which the household can eat its fill over one picking season, and half again."""
    want = want_for(traits.crop, household)
    weeks = sum(traits.picking_days) / 2 / 7
    plant_kg = sum(traits.season_kg) / 2
    return max(1, round(SURPLUS * want.portions_a_week * weeks * traits.portion_kg / plant_kg))


def not_served(gaps: Sequence[Gap], ready: Sequence[tuple[CropTraits, int]]) -> list[Gap]:
    """The gaps that no lot in hand will fill, each lot taken once, gaps in the order they open.

    ready : the crop of each lot and the column on which it is ready.
    """
    free = sorted(ready, key=lambda lot: lot[1])
    left = []
    for gap in sorted(gaps, key=lambda g: g.opens):
        served = next((lot for lot in free if gap.ground.suits(lot[0]).holds), None)
        if served is None:
            left.append(gap)
        else:
            free.remove(served)
    return left
