"""The water of a plan: what each planting's ground holds, and who gets how much this evening."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.soil import UNDER, BedSoil, SoilWeather, believe_soil, between
from lattermath.belief.soil_inputs import (
    ground_of,
    poured_on,
    reference_water,
    shares_of_bed,
    water_use_of,
)
from lattermath.desk.frost import ends_unhelped
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.water_told import DAYS_AHEAD
from lattermath.planning.watering import (
    BedNeed,
    Kind,
    WaterShare,
    may_use_hose,
    share_at_visit,
)
from lattermath.vocabulary.plot import Bed, Planting
from lattermath.vocabulary.ruling import Because, Ruling
from lattermath.vocabulary.sentence import inside

Grounds = Mapping[str, BedSoil]  # by planting
NEW_SET_OUT_DAYS = 14  # judgement: until then the roots are where the cup was
LEAFY = frozenset(
    {"chard", "lettuce_leaf", "lettuce_head", "spinach", "kale", "arugula", "bok_choy", "basil"}
)


def soils(facts: SeasonFacts, beliefs: Mapping[str, CropBelief]) -> dict[str, BedSoil]:
    """Run the ground of each own planting from what is known to the end of the futures."""
    weather = soil_weather(facts)
    found: dict[str, BedSoil] = {}
    for planting in facts.plot.standing():
        starts = facts.day_index(planting.started or facts.first)
        if starts > facts.today_index or planting.key not in beliefs:
            continue
        found[planting.key] = _soil(facts, weather, beliefs[planting.key], starts)
    return found


def soil_weather(facts: SeasonFacts) -> SoilWeather:
    """Give rain and reference evapotranspiration of every draw and day."""
    days = facts.t_min.shape[1]
    of_year = np.array([(facts.first + timedelta(days=k)).timetuple().tm_yday for k in range(days)])
    place = facts.plot.place
    reference = reference_water(
        of_year,
        place.latitude,
        place.altitude_m,
        facts.t_min,
        facts.t_max,
        et0_mm=_recorded_et0(facts),
        rain_mm=facts.rain,
    )
    first_watering = [
        facts.day_index(event.day) for event in facts.events if event.kind == "watering"
    ]
    return SoilWeather(
        today=facts.today_index,
        known_from=max(min(first_watering, default=facts.today_index), 0),
        et0_mm=reference.et0_mm[facts.future_of_draw],
        rain_mm=facts.rain[facts.future_of_draw],
    )


def share_tonight(
    facts: SeasonFacts,
    visit: date,
    beliefs: Mapping[str, CropBelief],
    ground: Grounds,
    closed: frozenset[str] = frozenset(),
    keep_dry: Mapping[str, Because] | None = None,
    sprayed: Collection[str] = (),
) -> tuple[WaterShare, Ruling]:
    """Share out the water of the coming visit; nobody waters where nobody may go, nor what dies.

    keep_dry : why the leaves of a planting are kept dry, by planting.
    sprayed  : plantings that are to be sprayed that evening.
    """
    after = next((day for day in facts.visits if day > visit), visit + timedelta(days=7))
    days = (visit - facts.today).days
    there = {key: _at(soil, days) for key, soil in ground.items()}
    ends = {one.planting.key for one in ends_unhelped(facts, visit)}
    needs = needs_at(facts, visit, after, beliefs, there, closed | ends, keep_dry)
    needs = [replace(need, sprayed=need.key in sprayed) for need in needs]
    return share_at_visit(needs, facts.plot.water, facts.plot.rules)


def needs_at(
    facts: SeasonFacts,
    visit: date,
    after: date,
    beliefs: Mapping[str, CropBelief],
    ground: Grounds,
    closed: frozenset[str] = frozenset(),
    keep_dry: Mapping[str, Because] | None = None,
) -> list[BedNeed]:
    """Say what may want water at a visit and must last until `after`.

    ground : as it is on the evening of the visit, nothing poured yet.

    Nobody waters potatoes whose haulm is cut, or comes off that evening: they grow no more, and
    skins set in dry ground (common practice).
    """
    return [
        BedNeed(
            key=planting.key,
            name=inside(planting.name),
            kind=_kind(facts, planting, beliefs[planting.key]),
            next_visit=after,
            days=(after - visit).days,
            soil=ground[planting.key],
            wilted=planting.wilted,
            keep_dry=(keep_dry or {}).get(planting.key),
        )
        for planting in facts.plot.standing()
        if planting.key in ground
        and planting.key not in closed
        and not beliefs[planting.key].haulm_off
    ]


def has_water(facts: SeasonFacts) -> bool:
    """Is there any water to be had on the plot?"""
    supply = facts.plot.water
    return supply.cans_a_visit != 0 or may_use_hose(supply, facts.plot.rules).allowed


def is_dry(soil: BedSoil, days: int, poured_l: float = 0.0) -> bool | None:
    """Is the ground drier than growth bears, in half of the draws or more, so many evenings on?

    Poured are so many litres on that evening and none before it. None: not told that far ahead.
    """
    if not 0 <= days <= min(DAYS_AHEAD, soil.n_coming):
        return None
    gone = soil.depletion_mm[:, days] - poured_l / soil.litres_a_mm
    return 2 * int((gone > soil.raw_mm[days]).sum()) >= len(gone)


def _at(soil: BedSoil, days: int) -> BedSoil:
    """The ground as it will be so many days on, with nothing poured until then."""
    return between(soil, days, soil.n_coming) if days > 0 else soil


def _soil(facts: SeasonFacts, weather: SoilWeather, belief: CropBelief, starts: int) -> BedSoil:
    planting = belief.planting
    crop = facts.tables.crops[planting.crop]
    bed = facts.plot.bed_of(planting) or _bed_for(facts, planting)
    together = [p for p in facts.plot.standing() if p.bed is not None and p.bed == planting.bed]
    share = shares_of_bed(together, facts.tables.crops).get(planting.key, 1.0)
    picks = sum(belief.traits.picking_days) / 2
    first = np.where(np.isinf(belief.first_pick_column()), np.nan, belief.first_pick_column())
    to_pick = float(np.nanmedian(first)) - starts if not np.isnan(first).all() else 60.0
    return believe_soil(
        ground_of(bed, facts.tables.soils[bed.texture], share),
        water_use_of(crop, planting, starts, max(to_pick + picks, 30.0), belief.stage == "bearing"),
        weather,
        poured_on(planting, share, facts.first.toordinal(), facts.events),
        facts.dice(f"soil {planting.key}"),
    )


def _bed_for(facts: SeasonFacts, planting: Planting) -> Bed:
    """Give a planting without a bed the ground that its plants take at the table's spacing."""
    crop = facts.tables.crops[planting.crop]
    in_row, between = crop.spacing_in_row_cm.value / 100, crop.spacing_between_rows_cm.value / 100
    return Bed(f"{UNDER}{planting.key}", planting.name, 0.0, 0.0, planting.plants * in_row, between)


def _kind(facts: SeasonFacts, planting: Planting, belief: CropBelief) -> Kind:
    started = planting.started
    if started is not None and (facts.today - started).days < NEW_SET_OUT_DAYS:
        return "set out"
    if planting.crop in LEAFY:
        return "leafy"
    return (
        "fruiting" if belief.stage in ("in flower", "bearing", "past its peak") else "deep-rooted"
    )


def _recorded_et0(facts: SeasonFacts) -> NDArray[np.float64]:
    """The record's own reference evapotranspiration where it has one, NaN elsewhere."""
    known = facts.record.until(facts.today - timedelta(days=1))
    days = facts.t_min.shape
    found = np.full(days, np.nan)
    if known.et0 is not None:
        place = np.arange(facts.today_index) + known.at(facts.first)
        there = (place >= 0) & (place < known.n_days)
        found[:, np.flatnonzero(there)] = known.et0[place[there]]
    if facts.runs.et0 is not None:
        found[:, facts.today_index :] = facts.runs.et0
    return found
