"""Leaf that by its age takes no infection."""

from __future__ import annotations

import math


def spared_by_age(
    growth: float,
    young_days: float = 0.0,
    young_takes: float = 1.0,
    old_days: float = float("inf"),
    old_takes: float = 1.0,
) -> float:
    """Share of all leaf that takes no infection because it is too young or too old. [0 to 1]

    growth                 : new leaf a day as a share of the leaf there is. [1/d]
    young_days             : leaf up to this age counts as young. [d]
    young_takes, old_takes : infections taken beside leaf at its most susceptible. [0 to 1]
    old_days               : leaf from this age on counts as old. [d]

    In a canopy that grows by a steady share, leaf younger than A days is 1 - (1 + growth)^-A of it.
    Leaf that takes a part of the infections is counted as if that part of it took all.

    Source: derived (ages in steady growth).
    Holds for: plants that make new leaf and shed little; after hail or stripping leaf is younger.
    """
    if young_days > old_days:
        raise ValueError(f"leaf cannot be young and old: {young_days:g}, {old_days:g} days")
    young = 1.0 - math.exp(-young_days * math.log1p(growth))
    old = 0.0 if math.isinf(old_days) else math.exp(-old_days * math.log1p(growth))
    return young * (1.0 - young_takes) + old * (1.0 - old_takes)
