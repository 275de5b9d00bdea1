"""What cold and heat an organism bears, from its tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.knowledge.organisms import Habits, Organism

# Judgement: beyond the hottest that the table knows, deaths become ten times as many within 4.6 C.
# Between figures the tables have 0.37 (sweetpotato whitefly) to 0.94 (diamondback moth).
DEADLIER_PER_C = 0.5
FIELD_DEATHS = 0.3  # judgement: from egg to adult without enemies, where the table counts them in
NONE_OF_SOME = 0.05  # judgement: share that lives where none of some tens was seen to become adult
LEAST_SURVIVAL = 1e-3  # a share of 0 in the table is read as one in a thousand
MOST_DEADLY = 40.0  # keeps the deaths of any heat within what a machine can hold


@dataclass(frozen=True, slots=True)
class Heat:
    """What heat above the range of the survival table does.

    known : temperatures from the hottest of the survival table on, rising, and the deaths from
            egg to adult at each, -ln of the share that lives. [C, 1]
    """

    known: tuple[tuple[float, float], ...]

    def more_deaths(self, temperature_c: ArrayLike) -> NDArray[np.float64]:
        """Deaths beyond those at the first of `known` while development would be done once. [1]

        Even in the logarithm from one known temperature to the next; shape as given.
        """
        heat = np.asarray(temperature_c, dtype=np.float64)
        at, deaths = (np.array(column) for column in zip(*self.known, strict=True))
        beyond = DEADLIER_PER_C * np.clip(heat - at[-1], 0.0, MOST_DEADLY)
        return np.asarray(np.exp(np.interp(heat, at, np.log(deaths)) + beyond) - deaths[0])


def heat_of(organism: Organism, habits: Habits, survival: Sequence[tuple[float, float]]) -> Heat:
    """How an organism takes heat.

    survival : share from egg to adult by temperature, rising; one point for one figure, which is
               taken to hold up to the upper threshold.
    """
    row, upper = organism.row, organism.upper_c.value
    last, share = survival[-1]
    deaths = -float(np.log(max(share, LEAST_SURVIVAL)))
    if len(survival) > 1:
        return Heat(((last, deaths),))
    deaths = FIELD_DEATHS if habits.survives_as_in_the_field else deaths
    hotter = [
        (float(key.removeprefix("hot_").strip("c")), -float(np.log(figure.value)))
        for key, figure in row.under("survival_to_adult").items()
        if key.startswith("hot_")
    ]
    lethal = row.find("upper_c.lethal")
    if not hotter and lethal is not None:
        hotter = [(lethal.value, -float(np.log(NONE_OF_SOME)))]
    return Heat(((upper, deaths), *hotter))


def frost_days(stages: Sequence[str], habits: Habits) -> tuple[float, ...]:
    """Days at -3 C that leave a tenth of each stage; one figure for all adults, the last. [d]

    inf where frost takes none: in the soil, under litter, or hardy.
    """
    kept = [s for s in stages if not s.startswith("adult")]
    found = [habits.frost_days(stage) for stage in (*kept, "adult")]
    return tuple(np.inf if days is None else days for days in found)
