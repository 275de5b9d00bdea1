"""What cold and heat an organism bears, from its tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.knowledge.organisms import Habits, Organism

LETHAL_ABOVE_C = 5.0  # judgement: above the upper threshold, where the table has no lethal heat
# Judgement: deaths become ten times as many within 4.6 C. The tables' own hot figures give 0.37
# (sweetpotato whitefly), 0.54 (greenhouse whitefly) and 0.64 (green peach aphid).
DEADLIER_PER_C = 0.5
FIELD_DEATHS = 0.3  # judgement: from egg to adult without enemies, where the table counts them in
LEAST_SURVIVAL = 1e-3  # a share of 0 in the table is read as one in a thousand
MOST_DEADLY = 40.0  # keeps the deaths of any heat within what a machine can hold


@dataclass(frozen=True, slots=True)
class Heat:
    """What heat above the range of the survival table does.

    upper, lethal : development slows from one to the other, where it ends. [C]
    above         : from here on more die with every degree. [C]
    deaths        : from egg to adult at `above`, -ln of the share that lives. [1]
    slope         : by which the logarithm of the deaths rises. [1/C]
    """

    upper: float
    lethal: float
    above: float
    deaths: float
    slope: float

    def still_grows(self, temperature_c: ArrayLike) -> NDArray[np.float64]:
        """Development beside the fastest, any shape. [0 to 1]"""
        heat = np.asarray(temperature_c, dtype=np.float64)
        return np.asarray(np.clip((self.lethal - heat) / (self.lethal - self.upper), 0.0, 1.0))

    def more_deaths(self, temperature_c: ArrayLike) -> NDArray[np.float64]:
        """Deaths beyond those at `above` while development would be done once, any shape. [1]"""
        over = np.asarray(temperature_c, dtype=np.float64) - self.above
        return np.asarray(self.deaths * np.expm1(np.clip(self.slope * over, 0.0, MOST_DEADLY)))


def heat_of(organism: Organism, habits: Habits, survival: Sequence[tuple[float, float]]) -> Heat:
    """How an organism takes heat.

    survival : share from egg to adult by temperature, rising; one point for one figure.

    Deaths multiply by a constant for every degree, as those of a short heat do: that of the
    table's two hottest figures where it has them, else 0.5 in the logarithm.
    """
    row, upper = organism.row, organism.upper_c.value
    given = row.find("upper_c.lethal") or habits.lethal_c
    lethal = given.value if given is not None else upper + LETHAL_ABOVE_C
    deaths = [(t, -np.log(max(share, LEAST_SURVIVAL))) for t, share in survival]
    if len(deaths) > 1:
        (before, few), (last, many) = deaths[-2:]
        return Heat(upper, lethal, last, many, float(np.log(many / few) / (last - before)))
    many = FIELD_DEATHS if habits.survives_as_in_the_field else deaths[0][1]
    hot = [
        (float(key.removeprefix("hot_").strip("c")), -np.log(figure.value))
        for key, figure in row.under("survival_to_adult").items()
        if key.startswith("hot_")
    ]
    slope = float(np.log(hot[0][1] / many) / (hot[0][0] - upper)) if hot else DEADLIER_PER_C
    return Heat(upper, lethal, upper, many, slope)


def frost_days(stages: Sequence[str], habits: Habits) -> tuple[float, ...]:
    """Days at -3 C that leave a tenth of each stage; one figure for all adults, the last. [d]

    inf where frost takes none: in the soil, under litter, or hardy.
    """
    kept = [s for s in stages if not s.startswith("adult")]
    found = [habits.frost_days(stage) for stage in (*kept, "adult")]
    return tuple(np.inf if days is None else days for days in found)
