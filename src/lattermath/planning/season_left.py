"""How much of the season is left: the usual first frost, what still comes up and fits before it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import emergence_of, untested_soil
from lattermath.science.harvest_curve import first_frost
from lattermath.science.soil_temperature import RESPONSE_5CM, soil_temperature

BEFORE_DAYS = 15  # over which the soil forgets where it began
SEED_BED_DAYS = 7  # in which seed decides
SOIL_STEP_C = 1.0  # the tables are read to a degree
# Judgement: of seeds in a soil in which nobody tested the crop, so many come up, evenly between.
UNTESTED = (0.2, 0.9)


@dataclass(frozen=True, slots=True)
class ComingUp:
    """Share of the seeds that come up in a soil.

    low, high : the same, or how far apart it may lie where nobody tested the crop in such a soil.
    untested  : in what soil nobody did, in words; "" where somebody did.
    soil_c    : the soil as it will be. [C]
    """

    low: float
    high: float
    soil_c: float
    untested: str = ""

    @property
    def share(self) -> float:
        """Middle of it."""
        return (self.low + self.high) / 2


def usual_frost(season: GrowingSeason) -> float:
    """Column of the first night at or below 0 C in half of the futures; n_days when later."""
    weather = season.weather
    return season.once(
        "usual frost",
        None,
        lambda: float(np.median(first_frost(weather.t_min, 0.0, weather.today))),
    )


def weeks_to_frost(season: GrowingSeason) -> float:
    """Weeks from today to the usual first frost."""
    return (usual_frost(season) - season.weather.today) / 7


def gap_crops(season: GrowingSeason) -> tuple[tuple[str, ...], str]:
    """Crops that fill a gap by the weeks left to frost, best first, and where that is written."""
    weeks = weeks_to_frost(season)
    rows = sorted(season.tables.gap_fillers.values(), key=lambda r: r.figure("weeks_to_frost").span)
    for row in rows:
        figure = row.figure("weeks_to_frost")
        if weeks < figure.span[1] or row is rows[-1]:
            return row.listed("crops"), f"table:{figure.address}"
    return (), ""


def comes_up(crop: str, season: GrowingSeason, column: int) -> ComingUp:
    """How many seeds come up when sown in place on that column, in half of the futures.

    None where the tables say that none comes up in such a soil. All where days in such a soil were
    tested and no stand: a sowing is thinned, and what takes its seedlings is counted elsewhere.
    Between `UNTESTED` where nobody tested the crop in such a soil.
    """
    return season.once("comes up", (crop, column), lambda: _comes_up(crop, season, column))


def _comes_up(crop: str, season: GrowingSeason, column: int) -> ComingUp:
    weather = season.weather
    first = max(column - BEFORE_DAYS, 0)
    last = min(column + SEED_BED_DAYS, weather.n_days)
    air = (weather.t_min[:, first:last] + weather.t_max[:, first:last]) / 2
    soil = soil_temperature(air, RESPONSE_5CM)[:, min(column, last - 1) - first :]
    warmth = round(float(np.median(soil)) / SOIL_STEP_C) * SOIL_STEP_C
    try:
        found = emergence_of(season.tables, crop, warmth)
    except ValueError:  # nobody tested that soil
        return ComingUp(*UNTESTED, warmth, untested_soil(season.tables, crop, warmth))
    up = 1.0 if found.stand_percent is None else found.stand_percent / 100
    up = 0.0 if found.days is None else up
    return ComingUp(up, up, warmth)
