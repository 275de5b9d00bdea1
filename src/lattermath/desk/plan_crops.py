"""The crops of a plan: what each planting is, what it will bear, and keep or replace."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief, believe
from lattermath.belief.crop_growth import GrowingSeason, SeasonWeather
from lattermath.belief.lot_belief import LotBelief, believe_lot
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care, Choices
from lattermath.planning.ground import ground_of
from lattermath.planning.keep_or_replace import Decision, Table, decide, rest_of_plot
from lattermath.science.reference_et import radiation_from_range
from lattermath.science.sun import almanac_daylength, extraterrestrial_radiation
from lattermath.vocabulary.events import Picking
from lattermath.vocabulary.plot import Planting

DrawDays = NDArray[np.float64]  # (n_draws, n_left)


@dataclass(frozen=True, slots=True)
class CropPlans:
    """Beliefs about plantings and lots, and one decision for each planting."""

    season: GrowingSeason
    beliefs: Mapping[str, CropBelief]
    lots: tuple[LotBelief, ...]
    decisions: Mapping[str, Decision]


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
    return {
        planting.key: believe(planting, season, pickings_of(facts, planting), facts.dice)
        for planting in facts.plot.standing()
    }


def pickings_of(facts: SeasonFacts, planting: Planting) -> list[tuple[date, Picking, int]]:
    """Give the weighed pickings of a planting, in order."""
    return [
        (event.day, event.payload, event.serial)
        for event in facts.events
        if isinstance(event.payload, Picking) and event.payload.planting == planting.key
    ]


def decide_crops(
    facts: SeasonFacts,
    season: GrowingSeason,
    beliefs: Mapping[str, CropBelief],
    lots: tuple[LotBelief, ...],
    cares: Mapping[str, Care],
) -> dict[str, Decision]:
    """Decide each planting in turn; a lot given to one is not offered to the next."""
    household = facts.plot.household
    free = list(lots)
    decisions: dict[str, Decision] = {}
    for key in _most_pressing(beliefs):
        belief = beliefs[key]
        others = rest_of_plot(list(beliefs.values()), key, household, season)
        choices = Choices(
            belief=belief,
            season=season,
            ground=ground_of(facts.plot, belief.planting, belief.traits),
            visits=tuple(facts.day_index(day) for day in facts.visits),
            dice=facts.dice,
            lots=tuple(free),
            packets=facts.plot.tin.packets,
            care=cares.get(key, Care()),
        )
        decision = decide(choices, Table(household, others))
        decisions[key] = decision
        free = _without(free, decision)
    return {key: decisions[key] for key in beliefs}


def believe_lots(facts: SeasonFacts, season: GrowingSeason) -> tuple[LotBelief, ...]:
    """Follow each standby lot from its sowing."""
    return tuple(believe_lot(lot, season) for lot in facts.plot.lots)


def _most_pressing(beliefs: Mapping[str, CropBelief]) -> list[str]:
    """Worn plantings first: they have the first call on what waits in cups."""
    order = {"failing": 0, "worn": 1, "tired": 2, "sound": 3}
    return sorted(beliefs, key=lambda key: (order[beliefs[key].planting.vigour], key))


def _without(lots: list[LotBelief], decision: Decision) -> list[LotBelief]:
    taken = decision.chosen.lot
    if taken is None:
        return lots
    left = []
    for lot in lots:
        if lot.lot.key != taken:
            left.append(lot)
        elif lot.lot.plants > decision.chosen.plants:
            rest = replace(lot.lot, plants=lot.lot.plants - decision.chosen.plants)
            left.append(replace(lot, lot=rest))
    return left
