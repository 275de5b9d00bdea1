"""How fast the weather of this plot wears deposits down, day by day, by driver of loss."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.season_facts import SeasonFacts
from lattermath.science.deposits import warm_pace
from lattermath.science.reference_et import radiation_from_range
from lattermath.science.sun import extraterrestrial_radiation

FAIR_DAY_MJ = 20.0  # judgement: a fair summer day in the field trials that half-lives come from


def deposit_paces(facts: SeasonFacts) -> Mapping[str, NDArray[np.float64]]:
    """Beside the days that half-lives are given for, 1 each: by driver, (n_days,), from day 0.

    Light is reckoned from latitude, day and the range of temperature, as for the water beds want;
    past days from the record, coming ones as the mean over the futures.
    """
    n_days = facts.t_min.shape[1]
    dates = [facts.first + timedelta(days=n) for n in range(n_days)]
    day_of_year = np.array([day.timetuple().tm_yday for day in dates], dtype=np.float64)
    above = extraterrestrial_radiation(day_of_year, facts.plot.place.latitude)
    low = np.minimum(facts.t_min, facts.t_max)
    light = radiation_from_range(low, facts.t_max, above).mean(axis=0) / FAIR_DAY_MJ
    warmth = warm_pace((facts.t_min + facts.t_max) / 2).mean(axis=0)
    return {"light": np.asarray(light), "warmth": np.asarray(warmth)}
