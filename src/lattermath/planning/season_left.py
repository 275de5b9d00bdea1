"""How much of the season is left: the usual first frost, and the crops that still fit before it."""

from __future__ import annotations

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.science.harvest_curve import first_frost


def usual_frost(season: GrowingSeason) -> float:
    """Column of the first night at or below 0 C in half of the futures; n_days when later."""
    weather = season.weather
    return float(np.median(first_frost(weather.t_min, 0.0, weather.today)))


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
