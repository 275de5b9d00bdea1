"""What plants bring when they are set out, and what crosses from planting to planting."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lattermath.belief.cluster_plantings import Stand, settling
from lattermath.belief.cluster_runs import NEVER, enters, run_from_start
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LONE_FLIGHT, LifeHistory
from lattermath.knowledge.tables import load_tables
from lattermath.science.adult_flight import points_of
from lattermath.science.stage_cohorts import Setting, no_kills, run_cohorts
from lattermath.science.stage_layout import spread_evenly

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


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        ("imported_cabbageworm", 0.4, 0.6),  # visits all plots, one egg at a landing (page read)
        ("twospotted_spider_mite", 0.0, 0.01),  # walks between touching leaves (practice)
        ("melon_aphid", 0.0, 0.05),  # wingless ones walk to touching plants (practice)
        ("greenhouse_whitefly", 0.0, 0.15),  # a metre and a quarter in three days (abstract read)
    ],
)
def test_each_kind_crosses_from_bed_to_bed_as_it_moves(kind, least, most) -> None:
    """Share of grown adults on the other of two beds, 4 m apart, after three warm days."""
    life = LifeHistory(read_life(TABLES.organisms[kind], DEFAULTS, TABLES.habits[kind]))
    beds = [replace(STAND, key=k, points=points_of(x, 0, 1, 1)) for k, x in (("a", 0), ("b", 4))]
    days = (np.full((1, 3), 22.0), np.full((1, 3), 30.0))
    cycle = life.cycle(*days, mortality=False, reproduction=False, ageing=False)
    there = replace(
        setting(2),
        host=np.ones((1, 3, 2), dtype=np.float32),
        arrivals=np.zeros((1, 3, 2), dtype=np.float32),
        settle=settling(beds, LONE_FLIGHT * life.figures.flight_m),
        shaken=np.zeros(3, dtype=np.float32),
    )
    start = np.zeros((1, 2, life.layout.n_classes))
    start[0, 0] = spread_evenly(life.layout, [0.0] * (len(life.stages) - 1) + [1.0])
    assert least <= run_cohorts(cycle, there, start).sums[0, 1, -1, -1] <= most
