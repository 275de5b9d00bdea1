"""Days from sowing to seedlings, and how many come up, from the temperature of the soil."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtrc

Nodes = NDArray[np.float64]

NONE_CAME_UP = math.inf  # tested, and no seedling appeared
NOT_TESTED = math.nan  # says nothing: never the same as none

LINE_HOLDS_C = (10.0, 25.0)  # derived: outside it the fitted lines miss the tables (checks A1)


@dataclass(frozen=True, slots=True)
class Emergence:
    """What a sowing does. `days` None: will not come up. `stand_percent` None: no figure."""

    days: float | None
    stand_percent: float | None


@dataclass(frozen=True, slots=True)
class ThermalLine:
    """A straight thermal-time fit: days = degree_days / (soil - base_c)."""

    base_c: float
    degree_days: float


def emergence_from_table(
    soil_c: float,
    nodes_c: Sequence[float],
    days: Sequence[float],
    stand_percent: Sequence[float] | None = None,
) -> Emergence:
    """Days to emergence and final stand in percent, read between the nodes of a test table.

    soil_c        : mean soil temperature at seed depth. [C]
    nodes_c       : temperatures tested, ascending, shape (n_nodes,). [C]
    days          : days to emergence, shape (n_nodes,); `NONE_CAME_UP` where tested in vain,
                    `NOT_TESTED` where nobody looked. [d]
    stand_percent : seedlings per hundred seeds, same marks, or None where no row exists. [%]

    Between nodes the *rate* 1/days is drawn straight, since development and not time is nearly
    linear in temperature; a node where none came up has rate 0. Stand is drawn straight.
    A soil outside the tested span raises ValueError: unknown is not none.

    Holds for: seed about 13 mm deep in moist soil.
    Source: harrington1954 as reproduced in Knott's handbook (two copies read).
    """
    at = np.asarray(nodes_c, dtype=float)
    stand = None if stand_percent is None else np.asarray(stand_percent, dtype=float)
    if stand is not None and (percent := _between(soil_c, at, stand)) == 0.0:
        return Emergence(None, 0.0)
    elapsed = np.asarray(days, dtype=float)
    rate = _between(soil_c, at, np.where(np.isinf(elapsed), 0.0, 1.0 / elapsed))
    if math.isnan(rate):
        raise ValueError(f"emergence was not tested at a soil of {soil_c:g} C")
    if rate == 0.0:
        return Emergence(None, 0.0)
    if stand is None or math.isnan(percent):
        return Emergence(1.0 / rate, None)
    return Emergence(1.0 / rate, percent)


def emergence_from_line(soil_c: float, line: ThermalLine) -> Emergence:
    """Days to emergence from a thermal-time line, for crops without a row in the table.

    Raises ValueError outside the 10 to 25 C where such lines were found to hold.
    Source: derived_harrington (checks A1, last column).
    """
    low, high = LINE_HOLDS_C
    if not low <= soil_c <= high:
        raise ValueError(f"the emergence line holds from {low:g} to {high:g} C, not {soil_c:g} C")
    if soil_c <= line.base_c:
        return Emergence(None, None)
    return Emergence(line.degree_days / (soil_c - line.base_c), None)


def seeds_to_sow(wanted: int, share_that_makes_it: float, chance: float = 0.9) -> int | None:
    """Fewest seeds of which at least `wanted` make a plant with that chance; None if none could.

    share_that_makes_it : chance of one seed to come up and live to be set out, 0 to 1.
    chance              : wished-for chance of having enough, below 1.

    Seeds fare independently (binomial), which holds for cups and not for a tray lost whole.
    """
    if wanted < 1:
        return 0
    if not 0.0 < share_that_makes_it <= 1.0:
        return None
    if not 0.0 < chance < 1.0:
        raise ValueError(f"a chance lies between 0 and 1, not at {chance:g}")
    seeds = wanted
    while bdtrc(wanted - 1, seeds, share_that_makes_it) < chance:
        seeds += 1
    return seeds


def _between(soil_c: float, nodes_c: Nodes, values: Nodes) -> float:
    """Value at `soil_c` between the nearest tested nodes; NaN outside the tested span.

    Below the coldest and above the hottest tested node a failure stays a failure.
    """
    tested = ~np.isnan(values)
    if not tested.any():
        return math.nan
    at, known = nodes_c[tested], values[tested]
    if soil_c < at[0]:
        return 0.0 if known[0] == 0.0 else math.nan
    if soil_c > at[-1]:
        return 0.0 if known[-1] == 0.0 else math.nan
    return float(np.interp(soil_c, at, known))
