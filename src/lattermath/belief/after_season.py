"""What stands ready when the reckoned season ends: crops that are lifted whole, and wait for it.

Picking curves spread a crop over the days on which it may be taken. Of leeks, roots and heads that
stand in the ground what is not taken by then is not lost: it is lifted later, as long as the table
says that it stands after the first frost, or before a night that would kill it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_growth import (
    EARLY_PICKING_DAYS,
    Columns,
    CropUnknowns,
    DrawDays,
    Draws,
    GrowingSeason,
    light_grown_in,
)
from lattermath.belief.crop_traits import LIFTED, CropTraits
from lattermath.belief.swelling import TUBERS, swollen
from lattermath.science.ground_frost import leaf_minimum
from lattermath.science.harvest_curve import first_frost, picked_share, standing_after_frost

READY_SIZE = 0.7  # judgement: of the warmth to first picking; what is smaller is not worth lifting
HALF_LOST = 0.5  # of the crop: then the frost has ended it


@dataclass(frozen=True, slots=True, eq=False)
class Stands:
    """What of one crop is lifted after its reckoned days, in every draw.

    kg     : (n_draws,). [kg]
    ends   : how many days before the last of the weather frost ends it, (n_draws,); 0: not at all.
    ready  : column of the morning from which it may be lifted in half the draws; the last of the
             weather where it is full grown later.
    weeks  : over which it can be lifted and eaten.
    stands : how long it stands after the first frost, low and high. [weeks]
    """

    traits: CropTraits
    kg: Draws
    ends: Columns
    ready: int
    weeks: float
    stands: tuple[float, float]

    def times(self, share: Draws | float) -> Stands:
        """The same of more or fewer plants, or with a share lost."""
        return replace(self, kg=self.kg * share)

    def of_days(self, share: DrawDays) -> Stands:
        """The same with a share of each day's yield kept, (n_draws, n_left): the least to come.

        The least from the night that ends it on, so that neither plants that mend nor plants that
        fail would give more if frost came sooner.
        """
        least = np.minimum.accumulate(share[:, ::-1], axis=1)
        return self.times(least[np.arange(len(least)), np.clip(self.ends - 1, 0, None)])


def stands_after(
    traits: CropTraits,
    season: GrowingSeason,
    unknowns: CropUnknowns,
    age: DrawDays,
    plants: float,
    from_column: int = 0,
    early_loss: Draws | float = 0.0,
) -> Stands | None:
    """What waits to be lifted when frost or the last day ends the picking; None for other crops.

    age        : picking age on each morning from that column on,
                 (n_draws, n_days + 1 - from_column). [d]
    early_loss : share of the first pickings that over-age in the cup has cost.

    The share of the season's yield that the picking curve has not given by then, once the plants
    are full grown; before it, as far as they are grown in warmth, and nothing of small ones. The
    light they grew in counts for it as for what is picked.
    """
    if traits.crop not in LIFTED or age.shape[1] < 1:
        return None
    weather = season.weather
    ends = _ends(traits, season)[weather.future_of]
    at_end = age[np.arange(len(age)), np.clip(ends - from_column, 0, age.shape[1] - 1)]
    youngest = np.minimum(age.min(axis=1), -1.0)
    size = np.where(at_end >= 0, 1.0, 1.0 - at_end / youngest)
    left = _left(at_end, unknowns, early_loss)
    grown = np.where(size >= READY_SIZE, size, 0.0)
    if traits.crop in TUBERS:  # common practice: lifted however small they are
        grown = swollen(traits.crop, size)
    light = light_grown_in(season.climate(traits.crop), age, from_column)
    kg = plants * unknowns.plant_kg * left * grown * light
    low, high = season.tables.crops[traits.crop].weeks_after_first_frost.span
    there = age >= 0
    first = np.where(there.any(axis=1), there.argmax(axis=1) + from_column, weather.n_days)
    ready = min(int(np.median(first)), weather.n_days)
    frost = float(np.median(first_frost(weather.t_min, 0.0, weather.today)))
    weeks = max((frost - ready) / 7 + (low + high) / 2, 1.0)
    return Stands(traits, np.asarray(kg), weather.n_days - ends, ready, weeks, (low, high))


def _left(age: Draws, unknowns: CropUnknowns, early_loss: Draws | float) -> Draws:
    """Share of the season's yield still to come at that picking age, less what over-age cost."""
    early = np.full(len(age), EARLY_PICKING_DAYS)
    ages = np.stack([age, np.maximum(age, early)], axis=1)
    picked = picked_share(ages, unknowns.peak_days, unknowns.end_days)
    return np.asarray(1.0 - picked[:, 0] - early_loss * (picked[:, 1] - picked[:, 0]))


def _ends(traits: CropTraits, season: GrowingSeason) -> NDArray[np.intp]:
    """Column on which frost has ended the crop in each future; n_days where none does."""
    weather = season.weather
    ahead = slice(weather.today, None)
    coming = leaf_minimum(weather.t_min[:, ahead], weather.t_max[:, ahead])
    lost = standing_after_frost(coming, traits.kill_c, traits.damage_c) < HALF_LOST
    found = np.where(lost.any(axis=1), lost.argmax(axis=1) + weather.today, weather.n_days)
    return np.asarray(found, dtype=np.intp)
