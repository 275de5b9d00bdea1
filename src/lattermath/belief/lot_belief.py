"""What is probably true of a standby lot: how full its cups are, and how long it stays ready."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_growth import Draws, GrowingSeason, SeasonWeather
from lattermath.belief.crop_reckoning import emergence_of, nursery_of
from lattermath.belief.crop_traits import CropTraits, Nursery
from lattermath.belief.cup_check import CupOdds, cup_odds
from lattermath.belief.cup_looks import paces, stand_share
from lattermath.science.crop_stages import heat_sums
from lattermath.science.root_fill import (
    CupHeat,
    CupState,
    cup_heat,
    cup_state,
    nursery_degree_days,
)
from lattermath.vocabulary.plot import StandbyLot

COMING_UP_DAYS = 14  # judgement: whose mean warmth the stand is read at
UNKNOWN_STAND = 0.8  # judgement: where no stand was ever tested


@dataclass(frozen=True, slots=True)
class LotBelief:
    """One lot in every draw. `gathered` is its heat since sowing on each morning. [C d]"""

    lot: StandbyLot
    traits: CropTraits
    nursery: Nursery
    heat: CupHeat
    gathered: NDArray[np.float64]  # (n_draws, n_days + 1)
    lost: bool = False  # nobody waters it often enough
    sound: float = 1.0  # share not lost to what lives beside it
    stand: float = 1.0  # share of its cups that hold a plant, where only some were looked at
    disagrees: tuple[CupOdds, ...] = ()  # where the newest look is not what was expected

    @property
    def expected(self) -> int:
        """Plants that its cups are believed to hold, whole ones."""
        return int(self.lot.plants * self.stand + 1e-9)

    def state(self, column: int) -> CupState:
        """Fill, coiling, delay and early loss if set out on that day, (n_draws,) each."""
        return cup_state(self.gathered[:, column], self.heat, self.nursery.cost)

    def reached(self, heat: float) -> Draws:
        """Column of the morning by which that heat is gathered; n_days + 1 when it is not."""
        there = self.gathered >= heat - 1e-9
        first = there.argmax(axis=1).astype(float)
        first[~there.any(axis=1)] = self.gathered.shape[1]
        return np.asarray(first)

    def ready_column(self) -> int:
        """Column from which the lot is ready in most draws."""
        return int(np.ceil(np.median(self.reached(self.heat.ready))))

    def closes_column(self) -> int:
        """Column up to which waiting costs nothing in most draws."""
        return int(np.median(self.reached(self.heat.closes)))

    def coils_column(self) -> int:
        """Column on which the roots begin to coil in most draws."""
        return int(np.median(self.reached(self.heat.coils)))

    def ahead_days(self, column: int) -> Draws:
        """Days by which the plants are ahead of the usual age if set out then, (n_draws,). [d]

        Cups of another size reach the same state at another age, so age is counted by how full
        the cup is; the delay of over-age is taken off.
        """
        usual = self.nursery.usual_age_days
        filled = np.minimum(self.gathered[:, column], self.heat.closes) / self.heat.full
        return np.asarray(usual * (filled - 1.0) - self.state(column).delay_days)


def believe_lot(lot: StandbyLot, season: GrowingSeason) -> LotBelief:
    """Follow one lot from its sowing over every draw; TableError for a crop not grown in cups."""
    traits = season.traits(lot.crop).with_packet(lot.days_to_maturity)
    nursery = nursery_of(traits)
    heat = cup_heat(*nursery.ready_heat, nursery.coils_heat, lot.cup_ml)
    gathered = nursery_heat(traits, season.weather, season.weather.column(lot.sown))
    by_then = [_heat_on(gathered, season, look.day) for look in lot.looks]
    seen = [(h, look.roots) for h, look in zip(by_then, lot.looks, strict=True) if look.roots]
    gathered = gathered * paces(seen, heat, len(gathered))[:, None]
    usual, days = coming_up(lot, season) if lot.looks else (UNKNOWN_STAND, None)
    today = season.weather.day(season.weather.today)
    odds = cup_odds(lot.looks, by_then, heat, lot.sown, today, usual, days)
    stand = _stand(lot, usual)
    return LotBelief(lot, traits, nursery, heat, gathered, stand=stand, disagrees=odds)


def _heat_on(gathered: NDArray[np.float64], season: GrowingSeason, day: date) -> float:
    """Heat that the weather gave the lot by a day, in the middle of the draws. [C d]"""
    column = min(max(season.weather.column(day), 0), gathered.shape[1] - 1)
    return float(np.median(gathered[:, column]))


def _stand(lot: StandbyLot, usual: float) -> float:
    """Share of the cups that hold a plant; 1 where all were looked at, or none."""
    look = next((one for one in reversed(lot.looks) if one.up is not None and one.cups), None)
    if look is None or look.up is None or not look.cups or look.cups >= lot.plants:
        return 1.0
    return stand_share(look.up, look.cups, lot.plants, usual)


def coming_up(lot: StandbyLot, season: GrowingSeason) -> tuple[float, float | None]:
    """The table's stand and its days to come up, at the mean warmth of the first fortnight.

    The stand is a share from 0 to 1, `UNKNOWN_STAND` where none was tested; days None likewise.
    """
    weather, sown = season.weather, season.weather.column(lot.sown)
    days = slice(max(sown, 0), max(sown, 0) + COMING_UP_DAYS)
    mean = float(np.mean((weather.t_min[:, days] + weather.t_max[:, days]) / 2))
    try:
        found = emergence_of(season.tables, lot.crop, mean)
    except ValueError:  # nobody tested that warmth
        return UNKNOWN_STAND, None
    percent = found.stand_percent
    return (UNKNOWN_STAND if percent is None else percent / 100), found.days


def nursery_heat(traits: CropTraits, weather: SeasonWeather, sown: int) -> NDArray[np.float64]:
    """Heat gathered in the cup by each morning, (n_draws, n_days + 1); 0 before sowing. [C d]

    Days before the weather begins are counted at the mean of its first week.
    """
    mean = (weather.t_min + weather.t_max) / 2
    sums = heat_sums(nursery_degree_days(mean, traits.base_c, traits.upper_c))[weather.future_of]
    week = min(7, weather.n_days)
    before = max(-sown, 0) * sums[:, week] / week
    since = sums - sums[:, min(max(sown, 0), weather.n_days)][:, None]
    return np.maximum(since, 0.0) + before[:, None]
