"""Tempered sampling against posteriors with a closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from lattermath.belief.tempering import effective, learn_more, sample, systematic, unlearnt


def test_a_normal_posterior_and_its_evidence() -> None:
    """Prior N(0, 1) in four unknowns, two observed with sd 0.2: conjugate answers."""
    seen, sd = np.array([1.2, -0.6]), 0.2

    def fit(z: np.ndarray) -> np.ndarray:
        return -0.5 * (((z[:, :2] - seen) / sd) ** 2 + np.log(2 * np.pi * sd**2)).sum(1)

    rng = np.random.default_rng(11)
    found = sample(rng.standard_normal((2000, 4)), fit, rng)
    shrink = 1 / (1 + sd**2)
    assert found.unknowns[:, :2].mean(0) == pytest.approx(seen * shrink, abs=0.03)
    assert found.unknowns[:, :2].std(0) == pytest.approx(np.full(2, sd * shrink**0.5), rel=0.12)
    assert found.unknowns[:, 2:].std(0) == pytest.approx(np.ones(2), rel=0.12)
    evidence = -0.5 * (seen**2 / (1 + sd**2) + np.log(2 * np.pi * (1 + sd**2))).sum()
    assert found.evidence == pytest.approx(evidence, abs=0.25)
    assert found.steps > 1


@pytest.mark.parametrize("second", [1.1, 3.0])
def test_what_comes_later_is_learnt_from_what_was_known(second: float) -> None:
    """Prior N(0, 1), seen twice with sd 0.2 and 0.1, the second as expected or not: conjugate."""

    def of(z: np.ndarray, seen: float, sd: float) -> np.ndarray:
        return -0.5 * (((z[:, 0] - seen) / sd) ** 2 + np.log(2 * np.pi * sd**2))

    def first(z: np.ndarray) -> np.ndarray:
        return np.column_stack([np.zeros(len(z)), of(z, 1.2, 0.2)])

    def both(z: np.ndarray) -> np.ndarray:
        return np.column_stack([of(z, 1.2, 0.2), of(z, second, 0.1)])

    rng = np.random.default_rng(12)
    known = learn_more(unlearnt(rng.standard_normal((4000, 3))), first, rng)
    found = learn_more(known, both, rng)
    precision = 1 + 25 + 100
    middle = (25 * 1.2 + 100 * second) / precision
    assert found.unknowns[:, 0].mean() == pytest.approx(middle, abs=0.02)
    assert found.unknowns[:, 0].std() == pytest.approx(precision**-0.5, rel=0.12)
    assert found.unknowns[:, 1:].std(0) == pytest.approx(np.ones(2), rel=0.12)
    cov = np.array([[1.04, 1.0], [1.0, 1.01]])
    evidence = stats.multivariate_normal([0, 0], cov).logpdf([1.2, second])
    # a look eight standard deviations off is weighed over many steps, each with its own noise
    assert found.evidence == pytest.approx(evidence, abs=0.15 if second < 2 else 1.0)
    assert found.steps > known.steps


def test_no_evidence_leaves_the_prior() -> None:
    rng = np.random.default_rng(3)
    found = sample(rng.standard_normal((1000, 3)), lambda z: np.zeros(len(z)), rng)
    assert found.unknowns.mean() == pytest.approx(0.0, abs=0.08)
    assert found.evidence == pytest.approx(0.0)


def test_a_very_sharp_likelihood_does_not_kill_the_sample() -> None:
    rng = np.random.default_rng(5)
    found = sample(
        rng.standard_normal((512, 6)), lambda z: -0.5 * ((z.sum(1) - 5) / 0.02) ** 2, rng
    )
    assert len(np.unique(found.unknowns[:, 0])) > 150
    assert found.unknowns.sum(1).mean() == pytest.approx(5.0, abs=0.05)


def test_systematic_resampling_keeps_shares() -> None:
    weight = np.log(np.array([0.5, 0.3, 0.2]))
    counts = np.bincount(systematic(np.tile(weight, 1), np.random.default_rng(1)), minlength=3)
    assert counts.sum() == 3 and counts[0] >= 1
    many = systematic(np.log(np.repeat([0.75, 0.25], 500) / 500), np.random.default_rng(2))
    assert (many < 500).sum() == pytest.approx(750, abs=1)


def test_effective_sample_size() -> None:
    assert effective(np.zeros(10)) == pytest.approx(10)
    assert effective(np.array([0.0, -1e9])) == pytest.approx(1)
