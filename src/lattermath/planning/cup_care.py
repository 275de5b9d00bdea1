"""Water for cups: how often they want it, who comes, and when a lot is counted as lost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief
from lattermath.science.cup_water import days_of_water
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.ruling import Because

AHEAD_DAYS = 7  # the days whose weather is asked
LONGEST_LOOK_DAYS = 14  # of coming visits
HANGS_AND_RECOVERS = 1.5  # judgement: a plant lives through half as long again as its water lasts
TWICE_A_DAY = 0.75  # of a day: below, once a day is too seldom
LATENT_MJ_A_KG = 2.45


class CupCare(NamedTuple):
    """How often a lot wants water, and whether nobody comes often enough for it to live."""

    every_days: float
    lost: bool
    says: str
    because: Because


def cup_care(lot: LotBelief, season: GrowingSeason, visits: Sequence[int]) -> CupCare:
    """What one lot in cups needs and gets, over the coming week of half the futures.

    visits : columns of the coming visits, which water what stands on the plot.
    """
    today = season.weather.today
    column = min(today + AHEAD_DAYS, season.weather.n_days)
    fill = float(np.median(lot.state(column).fill))
    every = float(days_of_water(lot.lot.cup_ml, fill, _dry_air_mm(season)))
    comes = {"twice a day": 0.5, "daily": 1.0}.get(lot.lot.waterings, longest_gap(visits, today))
    lost = lot.lot.waterings == "at visits" and comes > HANGS_AND_RECOVERS * every
    often = "twice a day" if every < TWICE_A_DAY else "daily" if every < 2 else "every other day"
    says = f"water {often}"
    if lost:
        says = "counted as lost: nobody waters it between visits. Take it home, or find a waterer"
    because = Because(
        f"a cup of {measure(lot.lot.cup_ml, 'ml')} as full as these will be holds water for about "
        f"{counted(f'{every:.1f}'.removesuffix('.0'), 'days')}",
        rests_on=("computed:cup water", f"plot:lot/{lot.lot.key}"),
    )
    return CupCare(every, lost, says, because)


def longest_gap(visits: Sequence[int], today: int) -> float:
    """Longest time without a visit that begins within the coming two weeks. [d]"""
    until = today + LONGEST_LOOK_DAYS
    coming = [v for v in visits if today <= v <= until]
    after = next((v for v in visits if v > until), None)
    if after is not None:  # a visit beyond: an absence that begins within counts to its end
        days = [today, *coming, after]
    else:
        days = [today, *coming, until] if len(coming) < 2 else [today, *coming]
    return float(max(np.diff(days), default=LONGEST_LOOK_DAYS))


def _dry_air_mm(season: GrowingSeason) -> float:
    """Reference evapotranspiration of the coming days, by Hargreaves from radiation. [mm/d]"""
    weather = season.weather
    days = slice(weather.today, weather.today + AHEAD_DAYS)
    mean = (weather.t_min[:, days] + weather.t_max[:, days]) / 2
    sun = np.broadcast_to(weather.radiation_mj, weather.t_min.shape)[:, days]
    # Hargreaves and Samani: 0.0135 (T + 17.8) Rs, with Rs in mm of water.
    return float(np.median(0.0135 * (mean + 17.8) * sun / LATENT_MJ_A_KG))
