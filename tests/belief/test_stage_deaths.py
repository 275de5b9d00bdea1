"""Deaths by stage add up to what the tables say from egg to adult, at every temperature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.belief.life_history import life_of
from lattermath.belief.stage_deaths import StageDeaths
from lattermath.knowledge.tables import load_tables
from lattermath.science.stage_cohorts import Setting, run_cohorts
from lattermath.science.stage_layout import spread_evenly

TABLES = load_tables()
LIVES = {name: life_of(TABLES, name) for name in sorted(TABLES.habits)}
SHARED_OUT = [n for n, life in LIVES.items() if set(life.figures.deaths.usual) != {1.0}]


def test_some_kinds_have_stages_of_their_own_and_the_others_die_evenly() -> None:
    assert {"sweetpotato_whitefly", "colorado_potato_beetle"} <= set(SHARED_OUT) < set(LIVES)
    even = LIVES["melon_aphid"].figures.deaths
    assert even.usual == even.outdoors == (1.0, 1.0, 1.0, 1.0)


@given(
    organism=st.sampled_from(sorted(LIVES)),
    heat=st.floats(12.0, 40.0),
    outdoors=st.floats(0.01, 1.0),
)
@settings(max_examples=300, deadline=None)
def test_a_life_through_all_stages_loses_what_the_table_says(organism, heat, outdoors) -> None:
    """A life passed at one temperature: each stage's deaths a day for the days that it lasts."""
    life = LIVES[organism]
    pace = np.array(float(life.pace(heat)))
    if pace < 1e-3:
        return
    young = np.array(float(life.death_rate(heat)))
    a_day = life.figures.deaths.of_day(young, pace, -np.log(outdoors) * pace)
    days = np.array(list(life.figures.shares.values())) / pace
    assert (a_day >= -1e-12).all()
    lives = np.exp(-(a_day * days).sum())
    assert lives == pytest.approx(np.exp(-young / pace) * outdoors, rel=1e-6)
    hottest = life.figures.survival[-1][0] if len(life.figures.survival) > 1 else life.figures.upper
    if life.figures.survival[0][0] <= heat <= hottest:
        assert lives == pytest.approx(float(life.survival(heat)) * outdoors, rel=1e-6)


@pytest.mark.parametrize("organism", [*SHARED_OUT, "diamondback_moth"])
@pytest.mark.parametrize("heat", [25.0, 28.0])
def test_a_cohort_becomes_adult_as_the_table_says(organism, heat) -> None:
    """By the kernel of the plan, even and uneven deaths alike: insects vanish nowhere else."""
    life = LIVES[organism]
    warm = np.full((1, int(2.0 / life.pace(heat))), heat)
    cycle = life.cycle(warm, warm, reproduction=False, ageing=False)
    for_ever, laying = cycle.survival.copy(), cycle.laying.copy()
    for_ever[..., len(life.figures.shares) :] = 1.0  # adults are gathered, not lost
    laying[:, 0] = 1.0  # on the first day
    alone = np.ones((1, warm.shape[1], 1), dtype=np.float32)
    setting = Setting(alone, 0 * alone, np.eye(1), alone[0, :, 0] * 0, np.eye(1))
    mother = spread_evenly(life.layout, [0.0] * (len(life.stages) - 1) + [1.0])[None, None]
    sums = run_cohorts(replace(cycle, survival=for_ever, laying=laying), setting, mother).sums[0, 0]
    laid, adult = sums[1, 0], sums[-1, -1] - 1.0
    assert adult / laid == pytest.approx(float(life.survival(heat)), rel=0.02)
    assert sums[-1, :-1].sum() < 1e-3 * laid


def test_nobody_is_brought_back_where_a_stage_dies_little() -> None:
    """Half of the day's deaths placed on one stage of two, which lasts half the life."""
    deaths = StageDeaths(0.2, (2.0, 0.0), (1.0, 1.0))
    day = deaths.of_day(np.array([0.1]), np.array([0.1]), np.array([0.0]))
    assert day == pytest.approx(np.array([[0.12, 0.08]]))
    alone = deaths.of_day(np.array([0.01]), np.array([0.1]), np.array([0.0]))
    assert alone == pytest.approx(np.array([[0.02, 0.0]]))


def test_what_the_field_takes_falls_on_its_own_stages() -> None:
    """77 % of fourth nymphs dead (Turkey), 6.6 % of 82.5 % adult (Arizona): both abstracts."""
    figures = LIVES["sweetpotato_whitefly"].figures
    fourth = list(figures.shares).index("nymph4_redeye")
    share = figures.shares["nymph4_redeye"]
    field = 0.066 / float(LIVES["sweetpotato_whitefly"].survival(24.0))
    died = figures.deaths.outdoors[fourth] * share * -np.log(field)
    died += figures.deaths.usual[fourth] * share * figures.deaths.least
    assert 1 - np.exp(-died) == pytest.approx(0.77, abs=0.03)
