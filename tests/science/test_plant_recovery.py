"""Nursing a plant back: the spread of days against its closed form, and never a certainty."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from lattermath.science.plant_recovery import (
    CONDITIONS,
    bearing_if_left,
    bearing_if_nursed,
    recovery_days,
)

UNIFORM = (np.arange(20_000) + 0.5) / 20_000


def test_days_are_triangular_from_10_to_18() -> None:
    """Against the library's own triangular draws: mean, spread and deciles."""
    days = recovery_days(UNIFORM)
    drawn = np.random.default_rng(5).triangular(10, 14, 18, 400_000)
    assert days.mean() == pytest.approx(drawn.mean(), abs=0.02)
    deciles = np.linspace(10, 90, 9)
    assert np.percentile(days, deciles) == pytest.approx(np.percentile(drawn, deciles), abs=0.05)


@pytest.mark.parametrize("vigour", ["tired", "worn", "failing"])
def test_as_many_come_back_as_the_chance_says(vigour: str) -> None:
    condition = CONDITIONS[vigour]
    rng = np.random.default_rng(1)
    luck = rng.random(20_000)
    bears = bearing_if_nursed(condition, 60, luck, recovery_days(UNIFORM), begins=3)
    left = bearing_if_left(condition, 60)
    back = bears[:, 30] > left[30]
    assert back.mean() == pytest.approx(condition.chance, abs=0.015)
    assert bears[back][:, 30] == pytest.approx(condition.comes_back_to)
    assert (bears[~back] == left).all()
    assert (bears[:, :3] == left[:3]).all()  # care cannot help before it begins


def test_health_is_ordered() -> None:
    order = [CONDITIONS[v] for v in ("sound", "tired", "worn", "failing")]
    for better, worse in pairwise(order):
        assert better.bears > worse.bears and better.chance > worse.chance
        assert better.comes_back_to >= worse.comes_back_to
        assert better.declines < worse.declines
