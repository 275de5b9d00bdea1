"""Every organism's cohort on real weather against individuals walked through it hour by hour.

The reference shares nothing with the boxcars but the pace at a temperature: ten thousand eggs of
each of twenty mornings, each with gamma-distributed needs of its own in every stage, develop by the
hour under a plain sine between a station's minimum and maximum. Asked for, over the twenty
mornings: the days spent in each stage of a day and a third or more, within 2 % or a tenth of a day
where that is more, and the days to the adult within half a percent. (The eggs of a single morning
may stand 0.3 days off in one stage, since boxcars of slow stages move once in a day or two.)
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.knowledge.tables import load_tables
from lattermath.science.stage_cohorts import Setting, run_cohorts
from lattermath.science.stage_layout import just_entered

TABLES = load_tables()
EGGS, MORNINGS, DAYS = 10_000, 20, 140
STATIONS = [("cordoba", 12, 2005), ("tunis", 6, 1990)]
LEAST_DAYS = 4 / 3  # shorter stages (prepupae of thrips) are seen a tenth of a day too long


def station(name: str, month: int, year: int) -> tuple[np.ndarray, np.ndarray]:
    """Minimum and maximum of a data package's station from the first of a month on. [C]"""
    spec = importlib.util.find_spec("aquacrop")
    assert spec is not None and spec.submodule_search_locations
    path = Path(spec.submodule_search_locations[0]) / "data" / f"{name}_climate.txt"
    rows = [line.split() for line in path.read_text().splitlines()[1:] if line.strip()]
    first = next(
        n for n, (d, m, y, *_) in enumerate(rows) if (int(d), int(m), int(y)) == (1, month, year)
    )
    taken = np.array([[float(low), float(high)] for _, _, _, low, high, *_ in rows[first:][:DAYS]])
    return taken[:, 0], taken[:, 1]


def walked(life: LifeHistory, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Mean days in each stage before the adult, (n_stages - 1,)."""
    rng = np.random.default_rng(4)
    f = life.figures
    needs = [part * rng.gamma(part / f.cv**2, f.cv**2 / part, EGGS) for part in f.shares.values()]
    ends = np.cumsum(needs, axis=0)  # in shares of the whole development
    hours = np.arange(24) + 0.5
    warm = (low + high)[:, None] / 2 + (high - low)[:, None] / 2 * np.sin(
        2 * np.pi * (hours - 8) / 24
    )
    done = np.concatenate([[0.0], np.cumsum(life.pace(warm).mean(axis=1))])
    reached = [np.interp(done[k] + ends, done, np.arange(len(done)), right=np.inf) - k
               for k in range(MORNINGS)]  # fmt: skip
    through = np.mean(reached, axis=(0, 2))
    return np.diff(through, prepend=0.0)


def reckoned(life: LifeHistory, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """The same by the program's cohort, nobody dying or laying."""
    span = DAYS - MORNINGS
    alone = Setting(
        np.ones((1, span, 1), dtype=np.float32), np.zeros((1, span, 1), dtype=np.float32),
        np.eye(1),
        np.zeros(span, dtype=np.float32), np.eye(1),
    )  # fmt: skip
    first = next(iter(life.figures.shares))
    start = just_entered(life.layout, first, 1.0)[None, None]
    days = []
    for k in range(MORNINGS):
        cycle = life.cycle(low[None, k : k + span], high[None, k : k + span], mortality=False,
                           reproduction=False, ageing=False)  # fmt: skip
        sums = run_cohorts(cycle, alone, start).sums[0, 0].astype(float)
        days.append((sums[:-1, :-1] + sums[1:, :-1]).sum(axis=0) / 2)
    return np.mean(days, axis=0)


def both(organism: str, name: str, month: int, year: int) -> tuple[np.ndarray, np.ndarray]:
    """Mean days in each stage before the adult: the program's, the individuals'."""
    life = LifeHistory(
        read_life(
            TABLES.organisms[organism],
            TABLES.constants["defaults"].figures,
            TABLES.habits[organism],
        )
    )
    low, high = station(name, month, year)
    return reckoned(life, low, high), walked(life, low, high)


@pytest.mark.parametrize(("name", "month", "year"), STATIONS)
@pytest.mark.parametrize("organism", sorted(TABLES.habits))
def test_a_cohort_on_real_weather_is_that_of_its_individuals(
    organism: str, name: str, month: int, year: int
) -> None:
    ours, theirs = both(organism, name, month, year)
    assert np.isfinite(theirs).all()  # all grow up within the record
    kept = theirs >= LEAST_DAYS
    assert ours[kept] == pytest.approx(theirs[kept], rel=0.02, abs=0.1)
    assert ours.sum() == pytest.approx(theirs.sum(), rel=0.005)
