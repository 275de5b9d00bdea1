"""Efficacy: the four formulas as one, constructed cases, and intervals tried by simulation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.efficacy import (
    abbott,
    by_change,
    by_mortality,
    changes_compared,
    henderson_tilton,
    probit_kill,
    schneider_orelli,
    sun_shepard,
    survivors_compared,
)
from lattermath.science.spray_kill import left_alive

positive = st.floats(0.5, 1e5)


def test_constructed_cases() -> None:
    """checks-treatments A1.1 to A1.4 (constructed and run there)."""
    assert abbott(20, 100) == pytest.approx(80)
    assert schneider_orelli(35, 20) == pytest.approx(18.75)
    assert henderson_tilton(100, 25, 80, 120) == pytest.approx(83.3333, abs=5e-5)
    assert sun_shepard(75, 50) == pytest.approx(83.3333, abs=5e-5)
    assert henderson_tilton(60, 12, 50, 40) == pytest.approx(75)
    assert sun_shepard(80, -20) == pytest.approx(75)


@given(positive, positive, positive, positive)
def test_three_formulas_are_one(tb: float, ta: float, cb: float, ca: float) -> None:
    """A1.5, and Schneider-Orelli on the mortality of the same counts."""
    one = henderson_tilton(tb, ta, cb, ca)
    assert by_change(tb, ta, cb, ca) == pytest.approx(one, rel=1e-6, abs=1e-6)
    assert by_mortality(tb, ta, cb, ca) == pytest.approx(one, rel=1e-6, abs=1e-6)


@given(positive, positive, positive)
def test_an_even_start_makes_it_abbott(before: float, ta: float, ca: float) -> None:
    """A1.6, and A1.7: worse than nothing is below 0 and stays there."""
    found = henderson_tilton(before, ta, before, ca)
    assert found == pytest.approx(abbott(ta, ca), rel=1e-9, abs=1e-9)
    assert (found < 0) == (ta > ca) or math.isclose(ta, ca)


def test_what_cannot_be_estimated_is_not_a_number() -> None:
    """A1.8: never 0, never 100."""
    for percent in (
        abbott(5, 0),
        abbott(0, 0),
        henderson_tilton(0, 5, 8, 9),
        henderson_tilton(5, 5, 8, 0),
        henderson_tilton(5, 5, 0, 9),
        sun_shepard(50, -100),
        schneider_orelli(100, 100),
        by_change(5, 5, 8, 0),
        by_mortality(0, 5, 8, 9),
    ):
        assert math.isnan(percent)
    assert survivors_compared([0, 3], [0, 0]).low_percent is None


def test_two_sprays_of_seventy_make_ninety_one() -> None:
    """A1.9: independent kills of the same exposed stage."""
    assert 1 - left_alive(0.7, 0.7) == pytest.approx(0.91)


def test_single_numbers_have_no_interval() -> None:
    assert survivors_compared(20, 100).low_percent is None
    assert survivors_compared([20, 22], 100).high_percent is None
    assert survivors_compared([20, 22], [100, 90]).high_percent is not None


def clumped(rng: np.random.Generator, mean: float, k: float, n: int) -> np.ndarray:
    return rng.poisson(rng.gamma(k, mean / k, n)).astype(float)


@pytest.mark.parametrize(("n", "kept"), [(6, 0.45), (15, 0.2), (15, 0.9)])
def test_abbott_intervals_hold_the_truth_as_often_as_said(n: int, kept: float) -> None:
    """Simulated: clumped counts (k 3) of mean 20 untreated; 95 in 100 within the luck of 800."""
    rng = np.random.default_rng(20)
    held = 0
    for _ in range(800):
        found = survivors_compared(clumped(rng, 20 * kept, 3, n), clumped(rng, 20, 3, n))
        held += found.low_percent <= 100 * (1 - kept) <= found.high_percent
    assert 0.92 <= held / 800 <= 0.98


def test_pairing_narrows_the_interval_and_still_holds_the_truth() -> None:
    """Simulated: units differ threefold, the same unit before and after hardly."""
    rng = np.random.default_rng(3)
    held, narrower = 0, 0
    for _ in range(400):
        counts = []
        for kept in (0.3, 1.4):
            level = rng.gamma(2, 30, 10)
            counts += [rng.poisson(level).astype(float), rng.poisson(level * kept).astype(float)]
        together = changes_compared(*counts, paired=True)
        apart = changes_compared(*counts)
        assert together.percent == apart.percent
        held += together.low_percent <= 100 * (1 - 0.3 / 1.4) <= together.high_percent
        narrower += (
            together.high_percent - together.low_percent < apart.high_percent - apart.low_percent
        )
    assert held / 400 >= 0.91
    assert narrower / 400 > 0.95


def test_none_left_is_a_hundred_with_a_low_end() -> None:
    """At most 3.69 can have been missed on 10 leaves at 95 in 100 (Poisson)."""
    found = survivors_compared([0] * 10, [4.0] * 10)
    assert found.percent == found.high_percent == 100
    assert found.low_percent == pytest.approx(100 * (1 - 0.3689 / 4), abs=0.01)
    uneven = changes_compared([10.0] * 5, [0] * 5, [5.0] * 5, [8.0] * 5)
    assert uneven.low_percent == pytest.approx(100 * (1 - (3.689 / 5) / (10 / 5 * 8)), abs=0.01)


def test_counts_that_are_none_are_refused() -> None:
    for wrong in ([], [-1], [math.nan]):
        with pytest.raises(ValueError, match="counts must be known"):
            survivors_compared(wrong, [3])
    with pytest.raises(ValueError, match="as many units"):
        changes_compared([1, 2], [1], [1], [1], paired=True)


def test_probit_line_passes_its_half() -> None:
    assert probit_kill([0.32, 3.2], 0.32, 1.752) == pytest.approx([0.5, 0.96011], abs=1e-4)
