"""Quality gates: a value that can hardly be true is set aside and said, never deleted unsaid.

Every gate looks only at the day itself and the days before it, so that what is known as of a day
never depends on a later reading.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from lattermath.weather.days import Field, Reading
from lattermath.weather.units import Unit

Values = NDArray[np.float64]

# Common practice (place.md 12.8): |T| under 55 C, step under 25 K a day, at most 5 equal days.
COLDEST_C, HOTTEST_C = -55.0, 55.0
LARGEST_STEP_K = 25.0
# judgement: a front moves both extremes, a slipped digit one (Champion, Nebraska: ten real fronts
# of more than 25 K in 37 years)
FRONT_K = 5.0
MOST_EQUAL_DAYS = 5
_ROUNDING_K = 1e-6  # a limit met exactly in F is met in C
# judgement: wide of what a garden meets, close enough to catch a slipped unit
_BASE: dict[Field, str] = {"t_min": " °C", "t_max": " °C", "rain_mm": " mm"}
BOUNDS: dict[Field, tuple[float, float]] = {
    "t_min": (COLDEST_C, HOTTEST_C),
    "t_max": (COLDEST_C, HOTTEST_C),
    "rain_mm": (0.0, 500.0),
    "rh_mean": (0.0, 100.0),
    "wind_m_s": (0.0, 50.0),
    "solar_mj_m2": (0.0, 45.0),
    "et0_mm": (0.0, 20.0),
}


def set_aside(
    readings: Sequence[Reading], units: Mapping[Field, Unit] = MappingProxyType({})
) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """The readings with doubtful values taken out and marked, and a sentence for the grower.

    units : those the file is written in, in which the sentence names the first value.
    """
    kept = list(readings)
    first: str = ""
    struck = 0
    for n, name, why in _doubts(readings):
        value = getattr(readings[n], name)
        if getattr(kept[n], name) is None:
            continue
        mark = f"set aside: {name} {value:g}, {why}"
        kept[n] = kept[n].with_values({name: None}, mark)
        struck += 1
        first = (
            first or f"{readings[n].day:%d %b %Y}, {name} {_written(value, units.get(name))}, {why}"
        )
    if not struck:
        return tuple(readings), ()
    word = "value was" if struck == 1 else "values were"
    return tuple(kept), (f"{struck} {word} set aside as hardly possible (first: {first}).",)


def _written(value: float, unit: Unit | None) -> str:
    """A value as the file has it."""
    return f"{value:g}" if unit is None else f"{unit.from_base(value):g} {unit.name}"


def _doubts(readings: Sequence[Reading]) -> Iterator[tuple[int, Field, str]]:
    days = np.array([r.day.toordinal() for r in readings], dtype=np.int64)
    columns = {name: _column(readings, name) for name in BOUNDS}
    for name, (low, high) in BOUNDS.items():
        bad = (columns[name] < low) | (columns[name] > high)
        for n in np.flatnonzero(bad).tolist():
            yield n, name, f"outside {low:g} to {high:g}{_BASE.get(name, '')}"
        columns[name][bad] = np.nan
    for n in np.flatnonzero(columns["t_max"] < columns["t_min"] - _ROUNDING_K).tolist():
        yield n, "t_min", "minimum above the maximum"
        yield n, "t_max", "maximum below the minimum"
        columns["t_min"][n] = columns["t_max"][n] = np.nan
    thermometer: tuple[Field, ...] = ("t_min", "t_max")
    for name, other in zip(thermometer, reversed(thermometer), strict=True):
        for n in _steps(days, columns[name], columns[other]):
            yield n, name, f"more than {LARGEST_STEP_K:g} K off the days before"
        for n in _stuck(days, columns[name]):
            yield n, name, f"the same for more than {MOST_EQUAL_DAYS} days"


def _column(readings: Sequence[Reading], name: Field) -> Values:
    return np.array([getattr(r, name) for r in readings], dtype=np.float64)


def _steps(days: NDArray[np.int64], values: Values, other: Values) -> Iterator[int]:
    """Days on which one extreme alone jumps away from the last kept value.

    A second day that agrees is believed, and so is a jump that the other extreme shares.
    """
    known = np.flatnonzero(~np.isnan(values))
    if known.size < 2:
        return
    jumps = np.flatnonzero(np.abs(np.diff(values[known])) > LARGEST_STEP_K + _ROUNDING_K) + 1
    place, kept, before = 0, int(known[0]), int(known[0])
    while place < known.size:
        if kept == before:  # nothing in doubt: on to the next jump
            following = np.searchsorted(jumps, place)
            if following == jumps.size:
                return
            place = int(jumps[following])
            kept = before = int(known[place - 1])
        n = int(known[place])
        far = _alone(days, values, other, n, kept) and _alone(days, values, other, n, before)
        before, kept, place = n, kept if far else n, place + 1
        if far:
            yield n


def _alone(days: NDArray[np.int64], values: Values, other: Values, n: int, m: int) -> bool:
    """True when a value stands far off that of at most three days before, and alone in it."""
    step, shared = values[n] - values[m], other[n] - other[m]
    front = bool(shared * np.sign(step) >= FRONT_K - _ROUNDING_K)
    return bool(abs(step) > LARGEST_STEP_K + _ROUNDING_K and days[n] - days[m] <= 3) and not front


def _stuck(days: NDArray[np.int64], values: Values) -> Iterator[int]:
    """Days that repeat the same value longer than a working thermometer does."""
    same = np.concatenate(([False], (np.abs(np.diff(values)) < _ROUNDING_K) & (np.diff(days) == 1)))
    run = np.zeros(values.size, dtype=np.int64)
    for n in np.flatnonzero(same):
        run[n] = run[n - 1] + 1
        if run[n] >= MOST_EQUAL_DAYS:
            yield int(n)
