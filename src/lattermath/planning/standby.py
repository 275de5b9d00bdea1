"""Standby lots: those in hand, what to sow in cups now, and what the tin lacks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import emergence_of, last_planting_of
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import LotBelief, nursery_heat
from lattermath.planning.fates import gap_crops
from lattermath.planning.ground import Ground
from lattermath.planning.worth import want_for
from lattermath.science.emergence import seeds_to_sow
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import StandbyAdvice
from lattermath.vocabulary.plot import Household, SeedPacket, Tin
from lattermath.vocabulary.ruling import Because

CHANCE_OF_ENOUGH = 0.9
CUP_SURVIVAL = 0.92  # judgement: slugs, damping off and a dry day between coming up and setting out
UNKNOWN_STAND = 0.8  # judgement: where no stand was ever tested
GROWS_WELL = ("good", "fair")  # how it takes transplanting, in the table's words
SOW_AHEAD_DAYS = 7  # a sowing due within a week is said at this visit
SURPLUS = 1.5  # plants beyond those the household can eat from are not worth a cup


@dataclass(frozen=True, slots=True)
class Gap:
    """Ground that comes free, and the column on which it is expected to."""

    ground: Ground
    opens: int


@dataclass(frozen=True, slots=True)
class Sowing:
    """A sowing in cups that could fill one gap: from when it is due, until when it is useful."""

    gap: Gap
    traits: CropTraits
    due: int
    last: int
    plants: int


def lot_advice(lot: LotBelief, season: GrowingSeason) -> StandbyAdvice:
    """One lot in hand: fill, ready window, and what setting it out today rather than then costs."""
    weather = season.weather
    state = lot.state(weather.today)
    ready, closes, coils = lot.ready_column(), lot.closes_column(), lot.coils_column()
    ends = weather.n_days
    return StandbyAdvice(
        crop=lot.lot.crop,
        says=_lot_says(lot, season, ready, closes, coils),
        lot=lot.lot.key,
        ready_from=weather.day(ready) if ready <= ends else None,
        ready_to=weather.day(closes) if closes <= ends else None,
        fill=round(float(np.median(state.fill)), 2),
        delay_days=round(float(np.median(state.delay_days)), 1),
        early_loss=round(float(np.median(state.early_loss)), 3),
        because=(
            Because(
                f"sown {said(lot.lot.sown)} in cups of {lot.lot.cup_ml:g} ml",
                who="grower",
                rests_on=(f"plot:lot/{lot.lot.key}", f"table:{lot.nursery.address}"),
            ),
        ),
    )


def sowing_advice(
    gaps: Sequence[Gap], tin: Tin, household: Household, season: GrowingSeason
) -> list[StandbyAdvice]:
    """What to sow in cups now so that a ready plant waits when each gap opens.

    A gap that no packet of the tin can fill in time is answered with what to get, and by when.
    """
    advice = []
    for gap in gaps:
        from_tin = [s for s in _sowings(gap, tin, household, season) if _is_due(s, season)]
        if from_tin:
            advice.append(_sow(from_tin[0], tin, season))
        elif not any(_can_fill(gap, packet, season) for packet in tin.packets):
            advice.extend(_get(gap, tin, household, season))
    return _one_a_crop(advice)


def last_useful_sowing(traits: CropTraits, season: GrowingSeason) -> int:
    """Column of the last sowing in cups that still pays here, by the frost of half the futures.

    The count-back rule gives the last setting out; the cup's days before it come off, in this
    place's own warmth.
    """
    weather = season.weather
    frost = float(np.median(first_frost(weather.t_min, 0.0, weather.today)))
    set_out = int(last_planting_of(traits, "set out", frost).day)
    return set_out - nursery_days_before(traits, season, set_out)


def nursery_days_before(traits: CropTraits, season: GrowingSeason, column: int) -> int:
    """Days before a column on which to sow, so that the cup is full on it, in most draws. [d]"""
    if traits.nursery is None:
        raise ValueError(f"{traits.crop} is never grown in cups")
    full = sum(traits.nursery.ready_heat) / 2
    usual = round(traits.nursery.usual_age_days)
    heat = nursery_heat(traits, season.weather, -season.weather.n_days)
    at = np.median(heat, axis=0)
    end = min(max(column, 0), len(at) - 1)
    warm = np.flatnonzero(at[: end + 1] <= at[end] - full)
    return end - int(warm[-1]) if len(warm) else usual


def _sowings(gap: Gap, tin: Tin, household: Household, season: GrowingSeason) -> list[Sowing]:
    """The sowings that could fill a gap from the tin, the crop most wanted of the list first."""
    fillers, _ = gap_crops(season)
    order = {crop: k for k, crop in enumerate(fillers)}
    found = [
        _sowing(gap, packet, household, season)
        for packet in tin.packets
        if _can_fill(gap, packet, season)
    ]
    return sorted(found, key=lambda s: (order.get(s.traits.crop, len(order)), s.traits.crop))


def _sowing(gap: Gap, packet: SeedPacket, household: Household, season: GrowingSeason) -> Sowing:
    traits = season.traits(packet.crop).with_packet(packet.days_to_maturity)
    due = gap.opens - nursery_days_before(traits, season, gap.opens)
    plants = min(traits.plants_on(gap.ground.area_m2), _plants_wanted(traits, household))
    return Sowing(gap, traits, due, last_useful_sowing(traits, season), plants)


def _can_fill(gap: Gap, packet: SeedPacket, season: GrowingSeason) -> bool:
    """Seed enough for a plant, a crop that takes the move, and ground that suits it."""
    traits = season.traits(packet.crop)
    return (
        packet.seeds > 0
        and traits.nursery is not None
        and traits.from_set_out is not None
        and traits.nursery.transplants in GROWS_WELL
        and gap.ground.suits(traits).holds
        and last_useful_sowing(traits, season) >= season.weather.today
    )


def _is_due(sowing: Sowing, season: GrowingSeason) -> bool:
    return sowing.due <= season.weather.today + SOW_AHEAD_DAYS


def _sow(sowing: Sowing, tin: Tin, season: GrowingSeason) -> StandbyAdvice:
    weather, traits = season.weather, sowing.traits
    share, doubt = _makes_it(traits, season)
    seeds = min(seeds_to_sow(sowing.plants, share, CHANCE_OF_ENOUGH) or 0, _seeds_of(traits, tin))
    by = weather.day(max(min(sowing.last, max(sowing.due, weather.today)), weather.today))
    enough = min(sowing.plants, seeds)
    name = traits.name.lower()
    return StandbyAdvice(
        crop=traits.crop,
        says=f"{seeds} {name} in cups (you have seed; {enough} should make it){doubt}",
        sow=seeds,
        sow_by=by,
        ready_from=weather.day(_ready(traits, season)),
        missing=_short_of(seeds, tin),
        because=(
            Because(
                f"{sowing.gap.ground.name} comes free about {said(weather.day(sowing.gap.opens))}",
                rests_on=(traits.addresses.get("nursery", ""), "computed:ground that comes free"),
            ),
            Because(
                f"last useful sowing about {said(weather.day(sowing.last))}",
                rests_on=(traits.addresses.get("first pick", ""), "computed:first frost"),
            ),
        ),
    )


def _get(
    gap: Gap, tin: Tin, household: Household, season: GrowingSeason
) -> Iterator[StandbyAdvice]:
    """The first crop of the gap list that suits and is not in the tin, and by when to get it."""
    held = {packet.crop for packet in tin.packets if packet.seeds > 0}
    fillers, address = gap_crops(season)
    for crop in fillers:
        traits = season.traits(crop)
        wanted = SeedPacket(crop, _plants_wanted(traits, household))
        if crop in held or not _can_fill(gap, wanted, season):
            continue
        by = season.weather.day(last_useful_sowing(traits, season))
        yield StandbyAdvice(
            crop=crop,
            says=f"nothing in the tin will fill {gap.ground.name} in time",
            sow_by=by,
            missing=f"{traits.name.lower()} seed, by {said(by)}",
            because=(Because("it fits the weeks left to frost", rests_on=(address,)),),
        )
        return


def _makes_it(traits: CropTraits, season: GrowingSeason) -> tuple[float, str]:
    """Share of seeds that make a plant in the coming warmth, and a caution where heat spoils it."""
    weather = season.weather
    coming = slice(weather.today, weather.today + 10)
    mean = float(np.mean((weather.t_min[:, coming] + weather.t_max[:, coming]) / 2))
    try:
        found = emergence_of(season.tables, traits.crop, mean)
    except ValueError:
        return UNKNOWN_STAND * CUP_SURVIVAL, ""
    if found.stand_percent is None:
        return UNKNOWN_STAND * CUP_SURVIVAL, ""
    hot = ", keep the cups in the cool" if found.stand_percent < 50 else ""
    return max(found.stand_percent, 5.0) / 100 * CUP_SURVIVAL, hot


def _plants_wanted(traits: CropTraits, household: Household) -> int:
    """Plants from which the household can eat its fill over one picking season, and half again."""
    want = want_for(traits.crop, household)
    weeks = sum(traits.picking_days) / 2 / 7
    plant_kg = sum(traits.season_kg) / 2
    return max(1, round(SURPLUS * want.portions_a_week * weeks * traits.portion_kg / plant_kg))


def _ready(traits: CropTraits, season: GrowingSeason) -> int:
    """Column on which a lot sown today is ready."""
    weather = season.weather
    heat = np.median(nursery_heat(traits, weather, weather.today), axis=0)
    if traits.nursery is None or heat[-1] < traits.nursery.ready_heat[0]:
        return weather.n_days
    return int((heat >= traits.nursery.ready_heat[0]).argmax())


def _seeds_of(traits: CropTraits, tin: Tin) -> int:
    return sum(packet.seeds for packet in tin.packets if packet.crop == traits.crop)


def _short_of(seeds: int, tin: Tin) -> str:
    """Cups or mix that the tin lacks for a sowing; what was not entered is not lacking."""
    lacks = []
    if tin.cups is not None and tin.cups < seeds:
        lacks.append(f"{seeds - tin.cups} more cups")
    if tin.mix_litres is not None and tin.mix_litres < seeds * tin.cup_ml / 1000:
        lacks.append(f"mix for {seeds} cups")
    return " and ".join(lacks)


def _lot_says(lot: LotBelief, season: GrowingSeason, ready: int, closes: int, coils: int) -> str:
    """One lot in a line: how full, and the day that matters next."""
    weather = season.weather
    head = f"{lot.lot.plants} {lot.traits.name.lower()}"

    def when(column: int) -> str:
        return said(_within(column, season))

    if ready > weather.n_days:
        return f"{head}: not ready before the season ends"
    if weather.today < ready:
        return f"{head}: ready about {when(ready)}"
    state = lot.state(weather.today)
    if weather.today <= closes:
        return f"{head}: ready, coil about {when(coils)}"
    delay = round(float(np.median(state.delay_days)))
    cost = f", setting out now costs about {delay} days" if delay else ""
    return f"{head}: {'coiled' if weather.today >= coils else 'full'}{cost}"


def _within(column: int, season: GrowingSeason) -> date:
    return season.weather.day(min(column, season.weather.n_days))


def _one_a_crop(advice: Sequence[StandbyAdvice]) -> list[StandbyAdvice]:
    """Join sowings of one crop for several gaps: the seeds add up, the earliest day rules."""
    joined: dict[tuple[str, bool], StandbyAdvice] = {}
    for one in advice:
        key = (one.crop, one.sow is not None)
        joined.setdefault(key, one)
    return list(joined.values())
