"""The wandering of levels against brute force and closed forms."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.belief.cluster_cases import LIFE, scales, stands

from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.leaf_evenness import evenness_of, look_error
from lattermath.belief.level_drift import (
    GENERATION_SD,
    LEAP_SD,
    LEAPS_A_DAY,
    PULLED_BACK_DAYS,
    STEP_DAYS,
    TREND_DAYS,
    TREND_SD,
    Wandered,
    carried,
    family_of,
    filtered,
    throw_drift,
    told_by_looks,
    walk_of,
    wandered_on,
)

DAYS = (0, 9, 21)
COUNTS = (12, 40, 7)
N_STAGES = len(LIFE.stages)
A_GENERATION = 17.0  # days, as of mites


def looks(counts: tuple[int, ...] = COUNTS, days: tuple[int, ...] = DAYS) -> list[Seen]:
    read = [
        read_sighting(scales("cucumbers", total), day, n, stands(), LIFE.figures)
        for n, (day, total) in enumerate(zip(days, counts, strict=True))
    ]
    return [one for one in read if one is not None]


def even(per_stage: float = 400.0, n_days: int = 30) -> np.ndarray:
    """The same numbers every day on every planting, three draws of different levels."""
    return (
        np.ones((3, 3, n_days, N_STAGES), dtype=np.float32)
        * np.array([0.3, 1.0, 3.0], dtype=np.float32).reshape(3, 1, 1, 1)
        * np.float32(per_stage)
    )


def test_on_the_first_day_nothing_has_wandered() -> None:
    one = looks((12,), (0,))
    found = filtered(one, even(), np.ones(3), A_GENERATION)
    plain = one[0].log_likelihood(even()[:, 0, 0].astype(float), np.ones(3))
    assert found.log_likelihood == pytest.approx(plain, rel=1e-9)


def test_three_looks_are_as_likely_as_brute_force_says() -> None:
    """Walks thrown day by day, leaps too, and the chance of the three counts averaged over them."""
    rng, n, a_day = np.random.default_rng(4), 200_000, GENERATION_SD**2 / A_GENERATION
    seen, detection = looks(), np.ones(3)
    found = filtered(seen, even(), detection, A_GENERATION)
    walk = np.zeros((n, 3))
    for day in range(1, DAYS[-1] + 1):  # day by day: a little back, a step on
        now = sum(day > before for before in DAYS[:-1])
        fresh = walk[:, now - 1] if day - 1 == DAYS[now - 1] else walk[:, now]
        leaps = rng.random(n) < LEAPS_A_DAY if now else np.zeros(n, dtype=bool)
        steps = rng.normal(0, a_day**0.5, n) + leaps * rng.normal(0, LEAP_SD, n)
        walk[:, now] = fresh * (1 - 1 / PULLED_BACK_DAYS) + steps
    for draw in range(3):
        total = np.zeros(n)
        for k, one in enumerate(seen):
            there = one.expected(even()[draw, :1, one.day].astype(float), np.ones(1))
            total += one.of_expected(there * np.exp(walk[:, k]))
        truth = np.log(np.mean(np.exp(total)))
        assert found.log_likelihood[draw] == pytest.approx(truth, abs=0.08)
        weight = np.exp(total - total.max())
        mean = (weight * walk[:, -1]).sum() / weight.sum()
        spread = np.sqrt((weight * (walk[:, -1] - mean) ** 2).sum() / weight.sum())
        assert found.mean[draw, 0] == pytest.approx(mean, abs=0.1)
        assert np.sqrt(found.variance[draw, 0]) == pytest.approx(spread, rel=0.1)


def test_what_was_not_looked_at_has_wandered_nowhere_in_particular() -> None:
    found = filtered(looks(), even(), np.ones(3), A_GENERATION)
    assert not found.mean[:, 1:].any() and not found.variance[:, 1:].any()
    assert list(found.last) == [21, 0, 0]


def test_what_comes_has_mean_one_and_the_spread_of_its_laws() -> None:
    """Variance of the log after 14 days and a season: a pulled-back walk and a fading error."""
    n = 20_000
    nothing = Wandered(np.zeros(n), np.zeros((n, 1)), np.zeros((n, 1)), np.zeros(1, dtype=int))

    def throw(name: str) -> np.random.Generator:
        return np.random.default_rng(list(hashlib.sha256(name.encode()).digest()))

    coming = throw_drift(nothing, 0, 90, N_STAGES, ["p"], throw, A_GENERATION).coming[:, :, 0]
    for shocks in (5, 30):
        days = shocks * STEP_DAYS
        product = np.prod(coming[:, :shocks], axis=1)
        error = TREND_SD / A_GENERATION * TREND_DAYS * (1 - np.exp(-days / TREND_DAYS))
        settled = GENERATION_SD**2 / A_GENERATION * PULLED_BACK_DAYS / 2
        walk = settled * (1 - np.exp(-2 * days / PULLED_BACK_DAYS))
        left = np.exp(-2 * STEP_DAYS * np.arange(shocks) / PULLED_BACK_DAYS)
        leaps = (1 - np.exp(-LEAPS_A_DAY * STEP_DAYS)) * LEAP_SD**2 * left.sum()
        assert np.log(product).var() == pytest.approx(error**2 + walk + leaps, rel=0.05)
        standard_error = product.std() / np.sqrt(n)
        assert product.mean() == pytest.approx(1.0, abs=4 * standard_error)


def test_what_breeds_faster_wanders_faster_and_the_slowest_are_taken_alike() -> None:
    """Steps of broods add up: a kind with three broods in the time of one has three steps."""
    assert walk_of(11.0).a_day == pytest.approx(3 * walk_of(33.0).a_day)
    assert walk_of(70.0) == walk_of(33.0)


def test_three_looks_that_agree_are_believed_against_a_course_that_did_not_expect_them() -> None:
    """A tenth of what it was within four days: a leap, which even steps would not make.

    Told as totals the leaves may have been clumped, told leaf by leaf they were not.
    """
    seen = looks((446, 52, 50, 54), (20, 24, 25, 27))
    evenly = evenness_of([5, 6, 4, 5, 5, 6, 5, 4, 7, 5])
    leaf_by_leaf = [
        replace(one, evenness=evenly, spread=look_error(one.spread, evenly)) for one in seen
    ]
    course, eyes = even(2000.0), np.ones(3)
    due = seen[-1].expected(course[:, 0, 27].astype(float), eyes)

    def off(found: Wandered) -> float:
        """Mean log of what is believed over what was counted."""
        return float(np.mean(np.log(due / 52.0) + found.mean[:, 0]))

    def fit(one: Seen, away: np.ndarray) -> np.ndarray:
        return one.of_expected(one.expected(course[:, 0, one.day], eyes)[:, None] * np.exp(away))

    steps = off(carried(seen, (3, 3), walk_of(A_GENERATION)._replace(leaps_a_day=0.0), fit))
    leaps = off(filtered(seen, course, eyes, A_GENERATION))
    both = off(filtered(leaf_by_leaf, course, eyes, A_GENERATION))
    assert 0 < both < leaps < 0.8 * steps
    assert both < np.log(1.5)


@pytest.mark.parametrize(
    ("eggs", "days", "family"),
    [
        (300, 33.0, 22.5),  # less than a brood since: a quarter of three in ten of her eggs
        (77, 13.0, 133.4),  # two broods: of 23.1 daughters each a quarter of 23.1
        (20, 31.0, 5.0),  # no fewer than that
    ],
)
def test_a_family_is_all_that_came_of_one_founder(eggs: float, days: float, family: float) -> None:
    assert family_of(eggs, days) == pytest.approx(family, rel=1e-3)


def test_a_small_number_is_one_family_or_none() -> None:
    """Half a founder expected, give or take leaves: gamma of shape 1/2, whose third is taken."""
    nothing = Wandered(np.zeros((40_000, 0)), np.zeros((40_000, 1)), np.full((40_000, 1), 1e-12),
                       np.zeros(1, dtype=np.int64))  # fmt: skip
    even = np.full((40_000, 1), 20.0)

    def throw(what: str) -> np.random.Generator:
        return np.random.default_rng(sum(map(ord, what)))

    few = throw_drift(nothing, 0, 3, N_STAGES, ["p"], throw, A_GENERATION, even, family=40.0).today
    many = throw_drift(nothing, 0, 3, N_STAGES, ["p"], throw, A_GENERATION, even, family=0.01).today
    share = (few / many)[:, 0, 0]  # the same leaves, chance of stages and wandering in both
    assert share.mean() == pytest.approx(1.0, rel=0.05)
    assert (share < stats.gamma.ppf(1 / 3, 0.5, scale=2.0)).mean() == pytest.approx(1 / 3, abs=0.03)


def test_what_was_counted_is_there_and_not_one_chance_in_many() -> None:
    """A gamma of so many founders, and a look as precise as so many more: simulated, the founders'
    factor given a Poisson count of them spreads as `told_by_looks` adds to them (conjugate)."""
    rng, founders, counted = np.random.default_rng(3), 1.5, 12.0
    factor = rng.gamma(founders, 1 / founders, 400_000)
    met = factor[rng.poisson(counted * factor) == counted]
    walk, day = walk_of(20.0), 30
    free = float(wandered_on(np.zeros((1, 1)), np.zeros((1, 1)), [day], walk)[1][0, 0])
    variance = np.full((1, 1), 1 / (counted + 1 / free))
    looked = Wandered(np.zeros((1, 1)), np.zeros((1, 1)), variance, np.array([day]))
    told = float(told_by_looks(looked, day, 20.0)[0, 0])
    assert told == pytest.approx(counted)
    assert (met / met.mean()).var() == pytest.approx(1 / (founders + told), rel=0.03)


def test_what_a_look_told_fades_and_no_look_tells_nothing() -> None:
    known = Wandered(np.zeros((1, 2)), np.zeros((1, 2)), np.array([[0.05, 0.0]]), np.array([9, 0]))
    told = [told_by_looks(known, day, 20.0)[0] for day in (9, 12, 20, 60)]
    assert all(one[1] == 0 for one in told)
    here = [one[0] for one in told]
    assert here == sorted(here, reverse=True) and here[0] > 5 and here[-1] < 1
