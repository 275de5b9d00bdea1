"""Looks at cups against the beta-binomial by summation, and against thrown cups."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from scipy import stats
from tests.belief.season_cases import steady

from lattermath.belief.cup_looks import (
    GRID,
    LOOK_SD,
    PACE_SD,
    PRIOR_CUPS,
    pace_weights,
    stand_share,
)
from lattermath.belief.lot_belief import believe_lot
from lattermath.planning.standby import lot_advice
from lattermath.science.root_fill import CupHeat
from lattermath.vocabulary.events import Roots
from lattermath.vocabulary.plot import CupLook, StandbyLot

HEAT = CupHeat(ready=200.0, full=240.0, closes=280.0, coils=360.0)


@pytest.mark.parametrize(("up", "cups", "plants"), [(9, 12, 24), (0, 5, 30), (12, 12, 12)])
def test_the_stand_is_that_of_the_binomial_summed_over_all_shares(
    up: int, cups: int, plants: int
) -> None:
    usual, share = 0.8, np.linspace(0.0005, 0.9995, 2000)
    weight = stats.beta.pdf(share, PRIOR_CUPS * usual, PRIOR_CUPS * (1 - usual))
    weight = weight * stats.binom.pmf(up, cups, share)
    others = (plants - cups) * (weight * share).sum() / weight.sum()
    assert stand_share(up, cups, plants, usual) == pytest.approx((up + others) / plants, abs=2e-3)


@pytest.mark.parametrize("seen", ["few", "filling", "coiled"])
def test_what_roots_tell_of_the_pace_is_what_thrown_cups_that_look_so_have(seen: Roots) -> None:
    rng, gathered = np.random.default_rng(5), 230.0
    pace = PACE_SD * rng.standard_normal(400_000)
    looks = gathered * np.exp(pace + LOOK_SD * rng.standard_normal(pace.size))
    is_so = {
        "few": looks < HEAT.ready,
        "filling": (looks >= HEAT.ready) & (looks < HEAT.coils),
        "coiled": looks >= HEAT.coils,
    }[seen]
    weights = pace_weights([(gathered, seen)], HEAT)
    mean = float((weights * PACE_SD * GRID).sum())
    spread = float(np.sqrt((weights * (PACE_SD * GRID - mean) ** 2).sum()))
    error = 4 * pace[is_so].std() / np.sqrt(is_so.sum())
    assert mean == pytest.approx(pace[is_so].mean(), abs=error + 1e-3)
    assert spread == pytest.approx(pace[is_so].std(), rel=0.03)


def test_the_lot_s_days_move_with_its_roots_and_stay_where_nobody_looked() -> None:
    season = steady(24.0)
    weather = season.weather
    bare = StandbyLot("l", "cucumber_slicing", 6, weather.day(weather.today - 13))
    looked = {
        roots: believe_lot(replace(bare, looks=(CupLook(weather.day(weather.today), roots=roots),)),
                           season)
        for roots in ("few", "coiled")
    }  # fmt: skip
    before = believe_lot(bare, season)
    assert (before.gathered == believe_lot(replace(bare, looks=()), season).gathered).all()
    assert looked["coiled"].coils_column() < before.coils_column() < looked["few"].coils_column()
    assert looked["coiled"].ready_column() < before.ready_column() < looked["few"].ready_column()
    says = {one: lot_advice(lot, season).says for one, lot in looked.items()}
    assert "coiled" in says["coiled"] and "ready about" in says["few"]
    told = lot_advice(looked["coiled"], season).because
    assert any("roots circle the cup, seen on" in one.says for one in told)


def test_a_part_of_the_cups_tells_of_the_rest_and_all_of_them_tell_themselves() -> None:
    season = steady(24.0)
    day = season.weather.day(season.weather.today)
    lot = StandbyLot("l", "kale", 24, day - timedelta(days=20))
    part = believe_lot(replace(lot, looks=(CupLook(day, 3, 12),)), season)
    assert 3 <= part.expected < 12
    assert f"about {part.expected} came up" in lot_advice(part, season).says
    every = believe_lot(replace(lot, plants=9, looks=(CupLook(day, 9, 24),)), season)
    assert every.expected == 9 and "came up" not in lot_advice(every, season).says
