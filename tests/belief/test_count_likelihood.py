"""Counts, levels and zeros against the negative binomial of an independent library and sums."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from lattermath.belief.count_likelihood import (
    LOOK_SD,
    at_most,
    clumping,
    level_log_likelihood,
    seen_log_likelihood,
    size_of,
    some_at_most,
    some_log_likelihood,
    some_thrown,
    total_log_likelihood,
)
from lattermath.vocabulary.class_ends import LEAF_LEVELS

LEVELS = ("none", "few", "many", "heavy")


@pytest.mark.parametrize(
    ("mean", "total", "leaves"), [(3.0, 0, 10), (12.0, 7, 10), (200.0, 150, 30)]
)
def test_totals_are_negative_binomial(mean, total, leaves) -> None:
    size = size_of(mean, leaves)
    truth = stats.nbinom.logpmf(total, size, size / (size + mean))
    assert total_log_likelihood(mean, total, leaves) == pytest.approx(truth, rel=1e-9)


def test_at_most_is_the_sum_of_the_probabilities() -> None:
    each = [np.exp(total_log_likelihood(4.0, n, 5)) for n in range(8)]
    assert at_most(4.0, 7, 5) == pytest.approx(sum(each), rel=1e-9)


@pytest.mark.parametrize("shake", [False, True])
def test_levels_share_out_the_whole_probability(shake) -> None:
    for mean in (0.3, 6.0, 80.0):
        chance = [np.exp(level_log_likelihood(mean, lv, 3, shake=shake)) for lv in LEVELS]
        assert sum(chance) == pytest.approx(1.0, abs=1e-6)


def test_few_means_one_to_five_on_a_leaf() -> None:
    bound = LEAF_LEVELS["few"]
    each = sum(np.exp(total_log_likelihood(2.0, n, 1)) for n in range(1, bound + 1))
    assert np.exp(level_log_likelihood(2.0, "few", 1, shake=False)) == pytest.approx(each, rel=1e-9)


def test_a_zero_is_evidence_and_more_leaves_make_it_stronger() -> None:
    rare, common = (total_log_likelihood(np.array([0.1, 5.0]) * n, 0, 10 * n) for n in (1, 4))
    assert rare[0] > rare[1]
    assert common[0] - common[1] > rare[0] - rare[1]
    # yet never certain: one look may be wrong as a whole, by the gamma law of that alone
    whole = stats.nbinom.logpmf(0, LOOK_SD**-2, 1 / (1 + 1e4 * LOOK_SD**2))
    assert total_log_likelihood(1e4, 0, 10_000) == pytest.approx(whole, rel=0.02)


def test_first_seen_is_one_or_more() -> None:
    assert np.exp(seen_log_likelihood(2.0, 20)) == pytest.approx(
        1 - np.exp(total_log_likelihood(2.0, 0, 20)), rel=1e-9
    )


@pytest.mark.parametrize("mean", [0.3, 4.0, 136.0])
def test_leaves_with_any_are_those_of_looks_thrown_leaf_by_leaf(mean: float) -> None:
    """An error of the look, a gamma a leaf, chance on it: how many of ten leaves have any."""
    rng, k = np.random.default_rng(3), float(clumping(mean / 10))
    look = rng.gamma(1 / LOOK_SD**2, LOOK_SD**2, (60_000, 1))
    leaves = rng.poisson(mean / 10 * look * rng.gamma(k, 1 / k, (60_000, 10)))
    with_any = (leaves > 0).sum(1)
    chance = np.exp([some_log_likelihood(mean, n, 10) for n in range(11)])
    assert chance.sum() == pytest.approx(1.0, abs=1e-6)
    seen = np.bincount(with_any, minlength=11) / len(with_any)
    assert np.abs(chance - seen).max() < 0.006
    assert some_at_most(mean, 6, 10) == pytest.approx(chance[:7].sum(), abs=1e-9)
    thrown = some_thrown(np.full(60_000, mean), 10, LOOK_SD, rng)
    again = np.bincount(thrown.astype(int), minlength=11) / len(thrown)
    assert np.abs(again - seen).max() < 0.008


def test_many_leaves_with_any_say_many_and_draws_keep_their_shape() -> None:
    few, many = (some_log_likelihood(np.array([[2.0, 200.0]]), n, 10)[0] for n in (1, 9))
    assert few[0] > few[1] and many[1] > many[0]
