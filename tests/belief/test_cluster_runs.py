"""What plants bring when they are set out, and what crosses from planting to planting."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_runs import NEVER, enters, run_from_start
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.knowledge.tables import load_tables
from lattermath.science.adult_flight import points_of
from lattermath.science.stage_cohorts import Setting, no_kills, run_cohorts

TABLES = load_tables()
DEFAULTS = TABLES.constants["defaults"].figures
NAME = "greenhouse_whitefly"
LIFE = LifeHistory(read_life(TABLES.organisms[NAME], DEFAULTS, TABLES.habits[NAME]))
DAYS = 30
STAND = Stand("a", "a", "tomato", 4, 0.5, 30, 150.0, 1.6, points_of(0, 0, 1, 1), started=-3)


def test_plants_bring_what_sits_on_them_and_seed_brings_none() -> None:
    later = replace(STAND, started=12, set_out=True)
    sown = replace(STAND, started=12)
    assert list(enters([STAND, later, sown], 0)) == [0, 12, NEVER]
    assert list(enters([later], 20)) == [0]


def setting(n: int) -> Setting:
    return Setting(
        np.full((1, DAYS, n), 0.5, dtype=np.float32), np.zeros((1, DAYS, n), dtype=np.float32),
        np.eye(n), np.zeros(DAYS, dtype=np.float32), np.eye(n),
    )  # fmt: skip


def test_a_planting_that_came_later_lives_as_one_that_begins_then() -> None:
    cycle = LIFE.cycle(np.full((1, DAYS), 16.0), np.full((1, DAYS), 28.0), 0.3)
    brought = np.random.default_rng(3).random((2, 2, LIFE.layout.n_classes))
    kills = no_kills(DAYS, 2, len(LIFE.stages))
    run = run_from_start(cycle, setting(2), brought, np.array([0, 10]), kills, DAYS)
    alone = run_cohorts(cycle, setting(2), brought, kills, n_days=DAYS)
    late = run_cohorts(cycle, setting(2), brought, kills, first_day=10, n_days=DAYS - 10)
    assert run.sums[:, 0] == pytest.approx(alone.sums[:, 0])
    assert not run.sums[:, 1, :10].any()
    assert run.sums[:, 1, 10:] == pytest.approx(late.sums[:, 1])
    assert run.final[:, 1] == pytest.approx(late.final[:, 1])


def test_adults_outdoors_live_shorter_and_the_young_do_not() -> None:
    """A hazard as large as that of age leaves exp(-2) of those that exp(-1) would be left of."""
    low, high = np.full((1, DAYS), 24.0), np.full((1, DAYS), 26.0)
    indoors = LIFE.cycle(low, high, 0.3).survival
    outdoors = LIFE.cycle(low, high, 0.3, 1.0).survival
    young = len(LIFE.figures.shares)
    assert outdoors[:, :, :young] == pytest.approx(indoors[:, :, :young])
    lost = -np.log(outdoors[0, 0, young:] / indoors[0, 0, young:])
    assert lost == pytest.approx(1 / LIFE.adult_days(25.0), rel=1e-3)


@pytest.mark.parametrize(("low", "high"), [(1.0, 11.0), (10.0, 22.0), (20.0, 30.0)])
def test_adults_are_lost_outdoors_in_the_hours_in_which_they_fly(low: float, high: float) -> None:
    """The day's sine, hour by hour: none fly at or below 12.3 C, all 6 C above it (a judgement)."""
    hours = (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * (np.arange(2400) + 0.5) / 2400)
    on_the_wing = np.interp(hours, [12.3, 18.3], [0.0, 1.0]).mean()
    days = (np.full((1, DAYS), low), np.full((1, DAYS), high))
    adult = len(LIFE.figures.shares)
    kept = [LIFE.cycle(*days, 0.3, lost).survival[0, 0, adult:] for lost in (0.0, 1.0)]
    of_age = float((1.0 / LIFE.adult_days(hours)).mean())
    assert -np.log(kept[1] / kept[0]) == pytest.approx(of_age * on_the_wing, rel=0.02, abs=1e-6)
