"""Numbers thrown whole: factors of known mean and variance, and a process of known law."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest

from lattermath.belief.level_drift import STEP_DAYS
from lattermath.belief.whole_insects import chance_factor, whole_to_come, whole_today

N = 100_000


def throw(name: str) -> np.random.Generator:
    return np.random.default_rng(list(hashlib.sha256(name.encode()).digest()))


@pytest.mark.parametrize("shape", [0.3, 1.0, 5.0, 50.0])
def test_chance_has_mean_one_and_the_variance_of_its_shape(shape) -> None:
    """Four standard errors of the mean, 5 % of the variance."""
    rng = throw("factor")
    factor = chance_factor(np.full(N, shape), rng.standard_normal(N), rng.random(N))
    assert factor.mean() == pytest.approx(1.0, abs=4 / np.sqrt(shape * N) + 0.003)
    assert factor.var() == pytest.approx(1 / shape, rel=0.05)


def test_a_third_of_an_insect_is_mostly_none() -> None:
    number = np.full((N // 10, 1, 1), 0.33)
    there = number * whole_today(number, ["p"], throw)
    assert there.mean() == pytest.approx(0.33, abs=0.03)
    assert np.mean(there < 0.5) > 0.7  # of a Poisson number 0.72 are none


@pytest.mark.parametrize("usual", [0.5, 4.0, 40.0])
def test_comings_and_goings_end_in_the_poisson_law(usual) -> None:
    """Insects that come at random and leave at random have a Poisson number in the long run."""
    n, stay, n_shocks = 20_000, 0.6, 12

    def march(state, since, n_days):  # type: ignore[no-untyped-def]
        for _ in range(n_days):
            share = stay ** (1 / STEP_DAYS)
            state = state * share + usual * (1 - share)
        return state, state

    state = np.full((n, 1, 1), usual)
    every = whole_to_come(
        np.ones((n, n_shocks, 1)), state, np.array([stay]), march,
        np.zeros(1, dtype=np.int64), ["p"], throw,
    )  # fmt: skip
    day = 0
    for shock in range(n_shocks):
        then = STEP_DAYS * (shock + 1) - 1
        state = march(state, day, then - day)[0] * every[:, shock][..., :1]
        day = then
    there = state[:, 0, 0]
    assert there.mean() == pytest.approx(usual, rel=0.05)
    # the variance of the process is its mean; shocks come every third day and not at once
    assert there.var() == pytest.approx(usual, rel=0.15)


def test_where_many_live_nothing_is_left_to_chance() -> None:
    number = np.full((1000, 1, 2), 1e6)
    assert whole_today(number, ["p"], throw) == pytest.approx(1.0, abs=0.01)


def test_the_same_chance_meets_another_number() -> None:
    """Numbers that move a little move the draws a little: the dice stay as they are."""
    number = np.full((500, 1, 1), 3.0)
    first, second = (n * whole_today(n, ["p"], throw) for n in (number, number * 1.01))
    assert np.abs(second - first).max() < 0.2
