"""Crops under one season's weather: what each planting and each lot in cups probably is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from lattermath.belief.crop_belief import CropBelief, believe
from lattermath.belief.crop_growth import GrowingSeason, SeasonWeather
from lattermath.belief.lot_belief import LotBelief, believe_lot
from lattermath.desk.cups_beside import infested_for
from lattermath.desk.cut_haulm import after_cutting
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.cup_care import cup_care
from lattermath.planning.young_losses import BESIDE
from lattermath.science.reference_et import radiation_from_range
from lattermath.science.sun import almanac_daylength, extraterrestrial_radiation
from lattermath.vocabulary.events import Picking
from lattermath.vocabulary.plot import Planting, StandbyLot


def growing_season(facts: SeasonFacts) -> GrowingSeason:
    """Give the season's weather as crops feel it."""
    days = [facts.first + timedelta(days=k) for k in range(facts.t_min.shape[1])]
    of_year = np.array([day.timetuple().tm_yday for day in days])
    latitude = facts.plot.place.latitude
    top = extraterrestrial_radiation(of_year, latitude)
    weather = SeasonWeather(
        first=facts.first,
        today=facts.today_index,
        t_min=facts.t_min,
        t_max=facts.t_max,
        daylength_h=almanac_daylength(of_year, latitude),
        radiation_mj=radiation_from_range(facts.t_min, facts.t_max, top),
        future_of=facts.future_of_draw.astype(np.intp),
        southern=facts.plot.place.southern,
    )
    return GrowingSeason(facts.tables, weather)


def believe_crops(facts: SeasonFacts, season: GrowingSeason) -> dict[str, CropBelief]:
    """Give what is probably true of each own planting that stands."""
    return {p.key: believe_planting(facts, p, season) for p in facts.plot.standing()}


def believe_planting(facts: SeasonFacts, planting: Planting, season: GrowingSeason) -> CropBelief:
    """Give what is probably true of one planting by its pickings, its haulm cut where it is."""
    picked = pickings_of(facts, planting)
    return after_cutting(facts, believe(planting, season, picked, facts.dice))


def pickings_of(facts: SeasonFacts, planting: Planting) -> list[tuple[date, Picking, int]]:
    """Give the weighed pickings of a planting, in order."""
    return [
        (event.day, event.payload, event.serial)
        for event in facts.events
        if isinstance(event.payload, Picking) and event.payload.planting == planting.key
    ]


def last_picked(facts: SeasonFacts, planting: Planting) -> date | None:
    """Give the day of the last picking that was written down."""
    return max((day for day, _, _ in pickings_of(facts, planting)), default=None)


def believe_lots(facts: SeasonFacts, season: GrowingSeason) -> tuple[LotBelief, ...]:
    """Follow each standby lot from its sowing; what nobody waters in time is counted as lost."""
    visits = [facts.day_index(day) for day in facts.visits]
    return tuple(
        replace(
            lot,
            lost=cup_care(lot, season, visits).lost,
            sound=_sound(facts, lot.lot),
        )
        for lot in (believe_lot(lot, season) for lot in facts.plot.lots)
    )


def _sound(facts: SeasonFacts, lot: StandbyLot) -> float:
    """Share of a lot that is not lost to what lives beside it on the plot."""
    beside = lot.where == "plot" and bool(infested_for(facts, lot.crop))
    return 1.0 - BESIDE.share if beside else 1.0
