"""Water given over the leaves of a planting, as hours of wetness; what nobody said is not dry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.infection_weather import LEANS
from lattermath.science.watered_leaves import HOURS, wet_after_watering
from lattermath.vocabulary.events import Event, Watering
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.watering import Way

FloatArray = NDArray[np.float64]
Sun = Callable[[date], tuple[float, float]]  # sunrise and sunset by the plot's clock [h]

LATE_H = 3.0  # judgement: given so near to sunset, water on leaves stays into the night


@dataclass(frozen=True, slots=True)
class Given:
    """One watering of a planting: the day, the hour by the clock, and how it was given.

    late : so near to sunset, or after it, that leaves go wet into the night.
    """

    day: date
    hour: float
    way: Way | None
    late: bool
    serial: int


def waterings_of(
    planting: Planting, usual: Way | None, events: Sequence[Event], sun: Sun
) -> tuple[Given, ...]:
    """The waterings that wetted the leaves of a planting, or may have, in order.

    usual  : how water is usually given there; counts where an entry does not say.
    events : effective entries, in any order. What was given at the foot is left out.
    """
    found = []
    for event in events:
        water = event.payload
        if not isinstance(water, Watering) or not _reaches(water, planting):
            continue
        way = water.way or usual
        if way != "foot":
            hour = event.local.hour + event.local.minute / 60
            rise, fall = sun(event.day)
            late = hour > fall - LATE_H or hour < rise - LATE_H
            found.append(Given(event.day, hour, way, late, event.serial))
    return tuple(sorted(found, key=lambda one: (one.day, one.hour, one.serial)))


def wet_by_watering(given: Sequence[Given], first: date, n_days: int, sun: Sun) -> FloatArray:
    """Share of each hour with leaves wet by watering, (n_leans, n_days, 24), by the clock.

    first : day of the first row. Where nobody said how water was given, leaves are dry on the dry
    side and wet on the wet side, as any hour that is not known.
    """
    wet = np.zeros((len(LEANS), n_days * 24))
    for one in given:
        begin = (one.day - first).days * 24
        if not 0 <= begin < wet.shape[1]:
            continue
        rise, fall = sun(one.day)
        place = slice(begin, min(begin + HOURS, wet.shape[1]))
        for n, lean in enumerate(LEANS):
            hours = wet_after_watering(one.hour, rise, fall, lean)
            known = 1.0 if one.way == "overhead" else (lean + 1) / 2
            wet[n, place] = np.maximum(wet[n, place], hours[: place.stop - begin] * known)
    return wet.reshape(len(LEANS), n_days, 24)


def _reaches(water: Watering, planting: Planting) -> bool:
    if water.planting is not None:
        return water.planting == planting.key
    return water.bed is not None and water.bed == planting.bed
