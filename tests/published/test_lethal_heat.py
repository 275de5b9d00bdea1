"""Heat at which no insect becomes adult, against the figures of the pest table.

Sources (abstracts and one page read, and one recalled figure): Satar 2008 and Kim 2012 on the green
peach aphid, Marchioro and Foerster 2011 on the diamondback moth, a Spanish plant-health page on the
greenhouse whitefly.
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
    ("organism", "lethal", "bearable"),
    [
        ("green_peach_aphid", 32.5, 28.0),
        ("diamondback_moth", 35.0, 31.0),
        ("greenhouse_whitefly", 35.0, 28.0),
    ],
)
def test_none_becomes_adult_at_the_lethal_temperature(organism, lethal, bearable) -> None:
    assert become_adult(LIVES[organism], lethal) < 0.5
    assert become_adult(LIVES[organism], bearable) > 20


def test_a_third_of_the_peach_aphids_live_through_33_degrees() -> None:
    """0.33 of the young live through as many days as development takes just below (recalled)."""
    life = LIVES["green_peach_aphid"]
    lives = np.exp(-life.death_rate(33.0) / life.pace(30.0))
    assert float(lives) == pytest.approx(0.33, abs=0.02)


@pytest.mark.parametrize("organism", sorted(LIVES))
def test_hotter_than_bearable_leaves_ever_fewer(organism) -> None:
    """Fourteen days at a steady temperature, young and adults, nothing born."""
    life = LIVES[organism]
    start = {life.stages[0]: 100.0, life.figures.adult: 100.0}
    left = []
    for heat in (36.0, 40.0, 44.0):
        steady = [heat] * 14
        run = cohort(life, steady, steady, start, mortality=True, reproduction=False)
        left.append(float(run.total[-1]))
    assert left[0] > 4 * left[1] >= 4 * left[2]
    assert left[2] < 0.1
