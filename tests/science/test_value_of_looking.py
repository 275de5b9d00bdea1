"""Worth of a look against enumeration, and against closed forms of conjugate cases."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from lattermath.science.value_of_looking import worth_of_sample


def two_states(
    prior: float, leaves: int, infested: tuple[float, float], costs: list[list[float]]
) -> float:
    """Closed form: clean or infested, n leaves with some or none, a binomial number of them."""
    clean, sick = infested
    weights = [1 - prior, prior]
    before = min(sum(w * costs[s][c] for s, w in enumerate(weights)) for c in range(2))
    after = 0.0
    for seen in range(leaves + 1):
        chance = [stats.binom.pmf(seen, leaves, p) for p in (clean, sick)]
        after += min(
            sum(w * chance[s] * costs[s][c] for s, w in enumerate(weights)) for c in range(2)
        )
    return before - after


@pytest.mark.parametrize("prior", [0.05, 0.3, 0.8])
@pytest.mark.parametrize("leaves", [1, 10, 30])
def test_two_states_and_leaves_with_some_or_none(prior: float, leaves: int) -> None:
    """Not treating costs 8 where infested; treating costs 2 wherever. 1,000 draws of the state."""
    shares, costs = (0.02, 0.3), [[0.0, 2.0], [8.0, 2.5]]
    state = (np.arange(1000) < 1000 * prior).astype(int)
    chances = stats.binom.pmf(np.arange(leaves + 1), leaves, np.array(shares)[state][:, None])
    found = worth_of_sample(np.array(costs)[state], chances)
    assert found.worth == pytest.approx(two_states(prior, leaves, shares, costs), abs=1e-9)
    assert found.worth <= found.perfect + 1e-12


def test_gamma_mean_and_poisson_counts_in_closed_form() -> None:
    """Mean insects a leaf Gamma(a, rate b), ten leaves Poisson; damage w a insect, treating C.

    After a total y the mean is (a + y) / (b + n), and y itself is negative binomial:
    worth = min(C, w a / b) - sum_y P(y) min(C, w (a + y) / (b + n)). 40,000 quantile draws: 1 %.
    """
    a, b, n, w, price = 1.5, 0.5, 10, 1.0, 2.5
    y = np.arange(2000)
    after = (stats.nbinom.pmf(y, a, b / (b + n)) * np.minimum(price, w * (a + y) / (b + n))).sum()
    exact = min(price, w * a / b) - after
    mean = stats.gamma.ppf((np.arange(40_000) + 0.5) / 40_000, a, scale=1 / b)
    seen = np.arange(260)
    chances = stats.poisson.pmf(seen, n * mean[:, None])
    chances[:, -1] += np.maximum(1 - chances.sum(1), 0)
    found = worth_of_sample(np.stack([w * mean, np.full_like(mean, price)], axis=1), chances)
    assert found.worth == pytest.approx(exact, rel=0.01)
    assert found.after[0] == 0 and found.after[-1] == 1  # none seen: leave it; many: treat


@given(st.integers(0, 10_000))
def test_every_rule_is_tried(seed: int) -> None:
    """Brute force: the best of all rules that answer each of three outcomes with a choice."""
    rng = np.random.default_rng(seed)
    costs, chances = rng.normal(0, 3, (5, 3)), rng.dirichlet(np.ones(3), 5)
    rules = itertools.product(range(3), repeat=3)
    best = min(
        np.mean([sum(chances[d, y] * costs[d, c] for y, c in enumerate(rule)) for d in range(5)])
        for rule in rules
    )
    found = worth_of_sample(costs, chances)
    assert found.worth == pytest.approx(costs.mean(0).min() - best, abs=1e-9)
    assert 0 <= found.worth <= found.perfect + 1e-12


def test_what_tells_nothing_is_worth_nothing() -> None:
    costs = np.array([[0.0, 1.0], [5.0, 1.0], [0.0, 1.0]])
    blind = worth_of_sample(costs, np.full((3, 4), 0.25))
    assert blind.worth == pytest.approx(0, abs=1e-12) and blind.would_change == 0
    plain = worth_of_sample(costs, np.array([[1.0, 0], [0, 1], [1, 0]]))
    assert plain.worth == pytest.approx(plain.perfect) and plain.would_change == pytest.approx(
        2 / 3
    )


def test_tables_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="sum to 1"):
        worth_of_sample([[0.0, 1.0]], [[0.5, 0.4]])
    with pytest.raises(ValueError, match="one row a draw"):
        worth_of_sample([[0.0, 1.0]], [[1.0], [1.0]])
