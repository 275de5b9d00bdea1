"""What each hour did to leaves, kept with a reading as one word of 24 letters.

`h` humid (90 % and above), `w` not humid but rained on, `-` dry, `?` not known. Letters stand for
the clock hours of the local day; of an hour that comes twice in autumn the wetter one counts, and
one that is left out in spring is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.science.leaf_wetness import WET_FROM_MM, WET_FROM_PERCENT
from lattermath.weather.days import Reading

MARK = "leaves by the hour "
HOURS_A_DAY = 24
ORDER = "?-wh"  # a later letter outranks an earlier one
FloatArray = NDArray[np.float64]


def hour_letter(rh_percent: float | None, rain_mm: float | None) -> str:
    """The letter of one hour; dry only when humidity is known and no rain is."""
    if rh_percent is not None and rh_percent >= WET_FROM_PERCENT:
        return "h"
    if rain_mm is not None and rain_mm >= WET_FROM_MM:
        return "w"
    return "?" if rh_percent is None else "-"


def day_mark(hours: Iterable[tuple[int, str]]) -> str:
    """The mark of a day from its hours (clock hour, letter); "" where no hour is known."""
    word = ["?"] * HOURS_A_DAY
    for hour, letter in hours:
        word[hour] = max(word[hour], letter, key=ORDER.index)
    return "" if set(word) == {"?"} else MARK + "".join(word)


def leaf_hours(readings: Iterable[Reading]) -> dict[date, str]:
    """The words of the days that have one; a later reading of a day wins."""
    found = {}
    for reading in readings:
        for mark in reading.marks:
            if mark.startswith(MARK):
                found[reading.day] = mark.removeprefix(MARK)
    return found


def hour_states(
    words: Mapping[date, str], first: date, n_days: int
) -> tuple[FloatArray, FloatArray]:
    """Humid and wet hours as 1, 0 or NaN for unknown, (n_days, 24) each; NaN where no word is."""
    humid = np.full((n_days, HOURS_A_DAY), np.nan)
    wet = np.full((n_days, HOURS_A_DAY), np.nan)
    for day, word in words.items():
        place = (day - first).days
        if 0 <= place < n_days:
            humid[place] = [np.nan if c == "?" else float(c == "h") for c in word]
            wet[place] = [np.nan if c == "?" else float(c in "hw") for c in word]
    return humid, wet
