"""Whether seed sown in place comes up in the soil that the coming days will make."""

from __future__ import annotations

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import emergence_of
from lattermath.science.soil_temperature import RESPONSE_5CM, soil_temperature

BEFORE_DAYS = 15  # over which the soil forgets where it began
SEED_BED_DAYS = 7  # in which seed decides
SOIL_STEP_C = 1.0  # the tables are read to a degree


def comes_up(crop: str, season: GrowingSeason, column: int) -> float:
    """Share of seeds that come up when sown in place on that column, in half of the futures.

    0 where the tables say that none comes up in such a soil. 1 where no stand was ever tested: a
    sowing is thinned, and what takes its seedlings is counted elsewhere.
    """
    weather = season.weather
    first = max(column - BEFORE_DAYS, 0)
    last = min(column + SEED_BED_DAYS, weather.n_days)
    air = (weather.t_min[:, first:last] + weather.t_max[:, first:last]) / 2
    soil = soil_temperature(air, RESPONSE_5CM)[:, min(column, last - 1) - first :]
    warmth = round(float(np.median(soil)) / SOIL_STEP_C) * SOIL_STEP_C
    try:
        found = emergence_of(season.tables, crop, warmth)
    except ValueError:  # nobody tested that soil
        return 1.0
    if found.days is None:
        return 0.0
    return 1.0 if found.stand_percent is None else found.stand_percent / 100
