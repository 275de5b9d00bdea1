"""Lotka-Euler against cases with a closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, optimize

from lattermath.science.life_table import growth_of, net_maternity


def test_all_births_at_one_age() -> None:
    growth = growth_of(np.array([20.0]), np.array([50.0]))
    assert growth.r == pytest.approx(np.log(50) / 20)
    assert growth.generation_days == pytest.approx(20.0)
    assert growth.doubling_days == pytest.approx(np.log(2) / growth.r)


def test_exponential_lives_have_a_closed_form() -> None:
    """Constant births b and deaths m from age a on: b exp(-r a) / (r + m) = 1, by root search."""
    b, m, a = 2.0, 0.1, 15.0
    ages, born = net_maternity(a, 0.01, 1.0, 0.0, 1 / m, 1.0, b)
    truth = optimize.brentq(lambda r: b * np.exp(-r * a) / (r + m) - 1, 1e-6, 2.0)
    assert growth_of(ages, born).r == pytest.approx(truth, rel=0.01)
    assert growth_of(ages, born).r0 == pytest.approx(b / m, rel=0.01)


def test_a_gamma_spread_of_development_by_its_laplace_transform() -> None:
    """Development gamma(k, theta): its transform is (1 + r theta)^-k."""
    days, cv, b, m = 25.0, 0.2, 3.0, 0.08
    shape, scale = cv**-2, cv**2 * days
    ages, born = net_maternity(days, cv, 0.8, 0.0, 1 / m, 1.0, b)
    truth = optimize.brentq(lambda r: 0.8 * b * (1 + r * scale) ** -shape / (r + m) - 1, 1e-6, 2.0)
    assert growth_of(ages, born).r == pytest.approx(truth, rel=0.01)


def test_a_shrinking_population_has_no_doubling_time() -> None:
    growth = growth_of(np.array([20.0, 30.0]), np.array([0.2, 0.3]))
    assert growth.r < 0 and growth.doubling_days is None and growth.r0 == pytest.approx(0.5)


def test_nobody_born() -> None:
    growth = growth_of(np.array([20.0]), np.array([0.0]))
    assert growth.r == -np.inf and growth.generation_days is None


def test_births_are_the_integral_of_survival_and_laying() -> None:
    ages, born = net_maternity(20.0, 0.1, 0.7, 2.0, 15.0, 0.5, 4.0)
    truth, _ = integrate.quad(
        lambda x: 4.0 * integrate_gamma_tail(x, 15.0, 0.5), 2.0, 200.0, limit=300
    )
    assert born.sum() == pytest.approx(0.7 * truth, rel=0.01)
    assert ages[0] > 0


def test_births_by_age_are_those_of_lives_thrown_part_by_part() -> None:
    """A hundred thousand mothers, thirds of whose laying lives are thrown from the gamma law."""
    weights, wait, whole, cv = (1.7, 1.0, 0.3), 2.0, 20.0, 0.5
    ages, born = net_maternity(20.0, 0.02, 1.0, wait, whole, cv, 1.0, weights)
    scale = cv**2 * whole
    rng = np.random.default_rng(8)
    thirds = rng.gamma((whole - wait) / 3 / scale, scale, (3, 100_000))
    ends = rng.gamma(wait / scale, scale, 100_000) + np.cumsum(thirds, axis=0)
    since, laid, moment = np.full(100_000, wait), 0.0, 0.0
    for weight, end in zip(weights, ends, strict=True):
        until = np.maximum(end, since)
        laid += weight * float((until - since).mean())
        moment += weight * float(((until**2 - since**2) / 2).mean())
        since = until
    assert born.sum() == pytest.approx(laid, rel=0.01)
    assert (born * ages).sum() / born.sum() == pytest.approx(20.0 + moment / laid, rel=0.01)


def integrate_gamma_tail(x: float, mean: float, cv: float) -> float:
    shape, scale = cv**-2, cv**2 * mean
    tail, _ = integrate.quad(
        lambda t: t ** (shape - 1) * np.exp(-t / scale), x, mean * 30, limit=200
    )
    whole, _ = integrate.quad(
        lambda t: t ** (shape - 1) * np.exp(-t / scale), 0, mean * 30, limit=200
    )
    return tail / whole
