"""The logistic against its differential equation and quadrature, and the figures of the checks."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from lattermath.science.logistic_growth import (
    delay_by_removal,
    monocyclic_rate,
    rate_between,
    severity_area,
    severity_on,
)

shares = st.floats(1e-6, 1 - 1e-6)
rates = st.floats(-0.6, 0.6)


@given(shares, rates, st.floats(0.1, 60))
def test_area_is_the_integral_of_the_curve(start: float, rate: float, last: float) -> None:
    integral, _ = quad(lambda t: float(severity_on(start, rate, t)), 0, last, limit=200)
    assert severity_area(start, rate, last) == pytest.approx(integral, rel=1e-7, abs=1e-12)


@pytest.mark.parametrize(("start", "rate"), [(0.01, 0.2), (0.3, 0.46), (0.9, -0.3)])
def test_the_curve_solves_its_equation(start: float, rate: float) -> None:
    days = np.arange(0, 41, 5.0)
    solved = solve_ivp(
        lambda _, x: rate * x * (1 - x), (0, 40), [start], t_eval=days, rtol=1e-10, atol=1e-13
    )
    assert severity_on(start, rate, days) == pytest.approx(solved.y[0], rel=1e-6)


def test_worked_epidemic() -> None:
    """checks-diseases 8.1 (computed there): 1 % growing at 0.20 a day."""
    days = [7, 14, 21, 28, 35]
    assert severity_on(0.01, 0.2, days) == pytest.approx(
        [0.0393, 0.1424, 0.4025, 0.7320, 0.9172], abs=6e-5
    )
    assert severity_area(0.01, 0.2, 35) == pytest.approx(12.406, abs=0.0005)
    half = brentq(lambda t: float(severity_on(0.01, 0.2, t)) - 0.5, 0, 60)
    assert half == pytest.approx(22.98, abs=0.005)
    weekly = np.trapezoid(severity_on(0.01, 0.2, [0, *days]), [0, *days])
    assert weekly == pytest.approx(12.459, abs=0.0005)


def test_rate_from_two_readings() -> None:
    """checks-diseases 8.2: 2 % and 30 %, 14 days apart."""
    assert rate_between(0.02, 0.30, 14) == pytest.approx(0.2175, abs=5e-5)
    assert severity_on(0.02, rate_between(0.02, 0.3, 14), 14) == pytest.approx(0.3)
    with pytest.raises(ValueError, match="between 0 and 1"):
        rate_between(0.0, 0.3, 14)


@pytest.mark.parametrize(("rate", "days"), [(0.20, 11.5), (0.46, 5.0)])
def test_leaf_picking_buys_days(rate: float, days: float) -> None:
    """checks-diseases 8.3; the delay also read off the curve while little is diseased."""
    assert delay_by_removal(0.9, rate) == pytest.approx(days, abs=0.05)
    later = brentq(lambda t: float(severity_on(1e-5, rate, t)) - 1e-4, 0, 60)
    assert delay_by_removal(0.9, rate) == pytest.approx(later, rel=1e-4)


def test_ends_of_the_scale() -> None:
    assert severity_on(0.0, 0.3, [0, 50]).tolist() == [0, 0]
    assert severity_on(1.0, -0.3, [0, 50]).tolist() == [1, 1]
    assert severity_area(0.0, 0.3, 50) == 0
    assert severity_area(1.0, -0.3, 5000) == pytest.approx(5000)
    assert severity_area(0.2, 0.0, 10) == pytest.approx(2)
    assert severity_area(0.5, 1.0, 10_000) == pytest.approx(10_000 + math.log(0.5))
    assert severity_area(0.5, -1.0, 10_000) == pytest.approx(math.log(2))
    with pytest.raises(ValueError, match="start"):
        severity_on(1.2, 0.1, 3)


def test_monocyclic_rate_of_a_made_up_field() -> None:
    days = np.array([5.0, 12, 30, 44])
    assert monocyclic_rate(days, 1 - np.exp(-0.05 * days)) == pytest.approx(0.05)
    with pytest.raises(ValueError, match="below 1"):
        monocyclic_rate([1, 2], [0.2, 1.0])
