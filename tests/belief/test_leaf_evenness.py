"""What the counts of single leaves say of how far their total is to be trusted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from lattermath.belief.count_likelihood import clumping, size_of, total_log_likelihood
from lattermath.belief.leaf_evenness import (
    EVENING_SD,
    EVENNESS_SD,
    MOST_EVEN,
    evenness_of,
    look_error,
    within_planting,
)


@pytest.mark.parametrize("counts", [(5, 4, 6, 5, 5, 7, 3), (9, 30, 2, 5), (40, 12, 13)])
def test_it_is_what_the_negative_binomial_says_given_the_total(counts: tuple[int, ...]) -> None:
    """The leaves' own probability over that of their total, at a mean far off: scipy's figures."""
    away = np.linspace(-4, 4, 2001) * EVENNESS_SD
    k = float(clumping(np.mean(counts))) * np.exp(away)
    mean, n = 3.7, len(counts)
    leaves = sum(stats.nbinom.logpmf(c, k, k / (k + mean)) for c in counts)
    total = stats.nbinom.logpmf(sum(counts), n * k, k / (k + mean))
    weight = np.exp(leaves - total) * stats.norm.pdf(away / EVENNESS_SD)
    middle = float(np.exp(weight @ away / weight.sum()))
    assert evenness_of(counts) == pytest.approx(middle, rel=0.02)


def test_what_it_says_of_even_leaves_is_how_even_they_are() -> None:
    """Leaves thrown with a clumping of their own: of those found even, theirs lies within a tenth
    of what is said in the mean (the law's k is taken at the mean of the leaves, not of the bed)."""
    rng = np.random.default_rng(11)
    own, found = rng.normal(0, EVENNESS_SD, 3000), np.empty(3000)
    for n, away in enumerate(own):
        k = float(clumping(20.0)) * np.exp(away)
        found[n] = np.log(evenness_of(rng.negative_binomial(k, k / (k + 20.0), 10).tolist()))
    even = found > 0
    assert 0.3 < even.mean() < 0.7
    assert (own[even] - found[even]).mean() == pytest.approx(0.0, abs=0.1)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(0, 400), max_size=12), st.randoms())
def test_the_order_of_leaves_does_not_matter(counts: list[int], by: object) -> None:
    mixed = sorted(counts, key=lambda _: by.random())  # type: ignore[attr-defined]
    assert evenness_of(mixed) == pytest.approx(evenness_of(counts))


@pytest.mark.parametrize("counts", [(), (30,), (0,) * 10, (1, 0, 1, 1), (0, 0, 35, 0, 1, 0, 0)])
def test_few_insects_or_leaves_do_not_tell_and_uneven_ones_are_taken_by_the_law(
    counts: tuple[int, ...],
) -> None:
    assert evenness_of(counts) == 1.0


def test_an_even_count_narrows_what_may_be_there() -> None:
    """Twice what was counted is less likely than where the leaves were uneven."""
    drop = [
        float(np.diff(total_log_likelihood([52.0, 104.0], 52, 10, evenness=evenness_of(leaves)))[0])
        for leaves in ((5, 5, 6, 4, 5, 7, 3, 6, 5, 6), (0, 0, 52, 0, 0, 0, 0, 0, 0, 0))
    ]
    assert drop[0] < drop[1] - 0.3


@pytest.mark.parametrize("evenness", [1.0, 2.0, 5.0])
def test_a_look_at_even_leaves_errs_by_the_evening_and_less_by_the_part_looked_at(
    evenness: float,
) -> None:
    """Thrown: an evening's factor, and a part's whose variance goes down as the leaves' does."""
    rng, n = np.random.default_rng(5), 200_000
    part = np.sqrt((0.4**2 - EVENING_SD**2) / evenness)
    thrown = rng.normal(0, EVENING_SD, n) + rng.normal(0, part, n)
    assert look_error(0.4, evenness) == pytest.approx(thrown.std(), rel=0.01)
    assert look_error(0.1, evenness) == pytest.approx(0.1)  # what is surer is taken as it is


@pytest.mark.parametrize("looked", [2, 8, 16])
def test_of_a_planting_looked_over_in_part_less_is_left_to_chance(looked: int) -> None:
    """Sixteen plants with insects thrown clumped, of which eyes see six in ten: counts on some of
    them spread about the planting's own mean as the law says, or a little less, since the law
    takes what eyes overlook for a Poisson number."""
    rng, plants, mean, eyes = np.random.default_rng(looked), 16, 12.0, 0.6
    k = float(clumping(mean * eyes))  # as counted
    there = rng.negative_binomial(k, k / (k + mean), (4000, plants))
    seen = rng.binomial(rng.permuted(there, axis=1)[:, :looked], eyes).sum(1)
    true = there.mean(1) * eyes * looked
    spread = float(((seen - true) ** 2).mean())
    size = size_of(mean * eyes * looked, looked, 0.0, within_planting(1.0, looked / plants))
    law = float(mean * eyes * looked + (mean * eyes * looked) ** 2 / size)
    slack = eyes * looked / plants * mean * eyes * looked
    assert law - 1.15 * slack - 0.1 * law < spread < law + 0.1 * law


def test_who_counts_every_plant_counts_what_there_is() -> None:
    assert within_planting(1.0, 0.0) == 1.0
    assert within_planting(1.4, 0.5) == pytest.approx(2.8)
    assert within_planting(1.4, 1.0) == MOST_EVEN
