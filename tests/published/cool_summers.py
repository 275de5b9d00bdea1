"""Usual months of cool places, for what growers there say; all recalled, to half a degree."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_reckoning import FirstPick, first_pick
from lattermath.belief.crop_traits import Start, crop_traits
from lattermath.knowledge.tables import load_tables

Floats = NDArray[np.float64]
Months = tuple[tuple[float, ...], tuple[float, ...]]  # mean highs and lows, January first [C]

LEUCHARS: Months = (  # the east coast of Scotland, Fife
    (7.0, 7.5, 9.5, 11.5, 14.5, 17.0, 19.0, 19.0, 16.5, 13.0, 9.5, 7.0),
    (1.0, 1.0, 2.0, 3.5, 6.0, 9.0, 10.5, 10.5, 8.5, 5.5, 3.0, 0.5),
)
HELENSBURGH: Months = (  # the west coast, Clyde
    (7.0, 7.5, 9.5, 12.5, 16.0, 18.5, 20.0, 19.5, 16.5, 13.0, 9.5, 7.5),
    (2.0, 2.0, 3.0, 5.0, 7.0, 10.0, 12.0, 11.5, 9.5, 7.0, 4.5, 2.5),
)
COVENTRY: Months = (  # the English Midlands
    (7.0, 7.5, 10.5, 13.5, 17.0, 20.0, 22.5, 22.0, 19.0, 14.5, 10.0, 7.5),
    (1.5, 1.5, 3.0, 4.5, 7.5, 10.5, 12.5, 12.5, 10.0, 7.5, 4.0, 2.0),
)
HIGH_DARTMOOR: Months = (  # 300 m, the edge of the moor
    (6.5, 6.5, 8.5, 11.0, 14.0, 16.5, 18.5, 18.0, 16.0, 12.5, 9.0, 7.0),
    (1.5, 1.5, 2.5, 3.5, 6.5, 9.0, 11.0, 11.0, 9.5, 7.0, 4.0, 2.5),
)
N_DAYS = 250


def from_day(months: Months, first: date, n_days: int = N_DAYS) -> tuple[Floats, Floats]:
    """Lows and highs of each day from that day on, straight between mid-months, (n_days,). [C]"""
    middles = [(date(first.year, m, 15) - date(first.year, 1, 1)).days for m in range(1, 13)]
    days = [(first + timedelta(n) - date(first.year, 1, 1)).days for n in range(n_days)]
    highs, lows = (np.interp(days, middles, ends) for ends in months)
    return lows, highs


def first_picking(crop: str, start: Start, began: date, months: Months) -> FirstPick:
    """Days to the first picking of what was begun then in the usual year of a place."""
    return first_pick(crop_traits(load_tables(), crop), start, *from_day(months, began))
