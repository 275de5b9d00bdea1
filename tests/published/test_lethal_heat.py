"""Heat at which no insect becomes adult, against the figures of the pest table.

Sources (abstracts and one page read, and one recalled figure): Kim 2012 on the green peach aphid,
Marchioro and Foerster 2011 on the diamondback moth, a Spanish plant-health page on the greenhouse
whitefly.
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.life_answers import cohort
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
DEFAULTS = TABLES.constants["defaults"].figures
LIVES = {
    name: LifeHistory(read_life(organism, DEFAULTS, TABLES.habits[name]))
    for name, organism in TABLES.organisms.items()
}
DAYS = 60


def become_adult(life: LifeHistory, heat: float) -> float:
    """Of 100 that begin life at a steady temperature; adults are counted as they come."""
    steady, first = [heat] * DAYS, life.stages[0]
    run = cohort(life, steady, steady, {first: 100.0}, mortality=True, reproduction=False)
    return float(np.max(run.stages[life.figures.adult]))


@pytest.mark.parametrize(
    ("organism", "lethal", "most", "bearable"),
    [("diamondback_moth", 35.0, 6.0, 31.0), ("greenhouse_whitefly", 35.0, 0.5, 28.0)],
)
def test_none_of_some_becomes_adult_at_the_lethal_temperature(
    organism: str, lethal: float, most: float, bearable: float
) -> None:
    """That none of some tens did is read as one in twenty (moth), a share of 0 as none."""
    assert become_adult(LIVES[organism], lethal) < most
    assert become_adult(LIVES[organism], bearable) > 20


def test_a_third_of_the_peach_aphids_live_through_33_degrees() -> None:
    """0.33 live to be adult (recalled); they take as long as at the upper threshold."""
    life = LIVES["green_peach_aphid"]
    assert float(np.exp(-life.death_rate(33.0) / life.pace(33.0))) == pytest.approx(0.33, abs=0.02)


@pytest.mark.parametrize("organism", sorted(LIVES))
def test_hotter_than_bearable_leaves_ever_fewer(organism: str) -> None:
    """Fourteen days at a steady temperature, young and adults, nothing born."""
    life = LIVES[organism]
    start = {life.stages[0]: 100.0, life.figures.adult: 100.0}
    left = []
    for heat in (36.0, 40.0, 44.0):
        steady = [heat] * 14
        run = cohort(life, steady, steady, start, mortality=True, reproduction=False)
        left.append(float(run.total[-1]))
    assert left[0] > left[1] > left[2]
    assert left[2] < 0.5 * left[0]


@pytest.mark.parametrize("organism", sorted(LIVES))
def test_a_hot_dry_july_does_not_wipe_them_out(organism: str) -> None:
    """Nights of 17 and days of 37 C, as at Champion in 2011: leaves are watered and cooler, and six
    in seven of every stage live through such a day. A mild day takes no adult."""
    cycle = LIVES[organism].cycle(np.array([[17.0, 12.0]]), np.array([[37.0, 24.0]]))
    hot, mild = cycle.survival[0, 0], cycle.survival[0, 1]
    assert hot.min() > 0.85
    assert mild[-1] == 1.0
