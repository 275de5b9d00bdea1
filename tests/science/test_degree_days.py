"""Degree-days against numerical integration of the curves, and what must always hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.degree_days import CUTOFFS, METHODS, clipped_average, degree_days

FINE = (np.arange(200_000) + 0.5) / 200_000


def curve(low, high, shape):
    """The day's temperatures, drawn point by point."""
    if shape == "sine":
        return (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * FINE)
    if shape == "triangle":
        return low + (high - low) * (1 - np.abs(2 * FINE - 1))
    return np.full_like(FINE, (low + high) / 2)


def integrated(low, high, lower, upper, shape, cutoff):
    """Development rate averaged over the drawn day: a method other than the code's closed forms."""
    t = curve(low, high, shape)
    rate = np.maximum(t - lower, 0)
    if cutoff == "horizontal":
        return np.minimum(rate, upper - lower).mean()
    if cutoff == "vertical":
        return np.where(t < upper, rate, 0).mean()
    if cutoff == "intermediate":
        return max(0.0, (rate - 2 * np.maximum(t - upper, 0)).mean())
    return rate.mean()


DAYS = [(5, 25), (2, 9), (14, 22), (8, 34), (-6, 41), (31, 36), (20, 20.5)]


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("cutoff", CUTOFFS)
@pytest.mark.parametrize("shape", ["sine", "triangle", "average"])
def test_single_methods_equal_the_integral(day, cutoff, shape):
    method = shape if shape == "average" else f"single-{shape}"
    ours = degree_days([day[0]], [day[1]], 10, 30, method, cutoff)[0]
    assert ours == pytest.approx(integrated(*day, 10, 30, shape, cutoff), abs=2e-4)


@pytest.mark.parametrize("shape", ["sine", "triangle"])
@pytest.mark.parametrize("cutoff", CUTOFFS)
def test_double_methods_take_half_of_each_days_two_curves(shape, cutoff):
    low, high = np.array([6.0, 13.0, 26.0]), np.array([24.0, 33.0, 29.0])
    ours = degree_days(low, high, 10, 30, f"double-{shape}", cutoff)
    pairs = [(24.0, 6.0, 13.0), (33.0, 13.0, 26.0), (29.0, 26.0, 26.0)]
    for got, (top, before, after) in zip(ours, pairs, strict=True):
        halves = [integrated(n, top, 10, 30, shape, cutoff) for n in (before, after)]
        assert got == pytest.approx(np.mean(halves), abs=2e-4)


def test_a_night_warmer_than_the_day_before_is_no_error():
    ours = degree_days([8, 16], [14, 25], 10, None, "double-sine")
    expected = np.mean(
        [integrated(8, 14, 10, 0, "sine", "none"), integrated(14, 16, 10, 0, "sine", "none")]
    )
    assert ours[0] == pytest.approx(expected, abs=2e-4)


# Four days worked by numerical integration elsewhere in the trade's own checks.
@pytest.mark.parametrize(
    ("t_min", "t_max", "lower", "upper", "sine", "average"),
    [
        (5, 25, 10, None, 6.090, 5.00),
        (12, 28, 8.3, None, 11.700, 11.70),
        (4, 14, 8.3, None, 1.957, 0.70),
        (8, 34, 10.2, 33, 10.990, 10.80),
    ],
)
def test_worked_days(t_min, t_max, lower, upper, sine, average):
    cutoff = "none" if upper is None else "horizontal"
    got = degree_days([t_min], [t_max], lower, upper, "single-sine", cutoff)[0]
    assert got == pytest.approx(sine, abs=0.0006)
    mean = degree_days([t_min], [t_max], lower, upper, "average", cutoff)[0]
    assert mean == pytest.approx(average, abs=0.0006)


def test_clipped_average_is_the_maize_rule():
    # 50 F to 86 F: a day of 40 to 95 F counts (50 + 86) / 2 - 50 = 18 F.
    ours = clipped_average([(40 - 32) / 1.8], [(95 - 32) / 1.8], 10, 30)[0]
    assert ours * 1.8 == pytest.approx(18.0)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("cutoff", CUTOFFS)
def test_unknown_in_unknown_out(method, cutoff):
    low, high = [5.0, np.nan, 8.0, 9.0], [20.0, 22.0, np.nan, 35.0]
    got = degree_days(low, high, 10, 30, method, cutoff)
    assert np.isnan(got[1]) and np.isnan(got[2]) and np.isfinite(got[3])
    assert np.isnan(got[0]) == method.startswith("double")


def test_futures_are_answered_together():
    rng = np.random.default_rng(1)
    low = rng.normal(10, 5, (4, 3, 20))
    high = low + rng.uniform(0, 15, low.shape)
    whole = degree_days(low, high, 8, 28, "double-sine", "vertical")
    alone = degree_days(low[2, 1], high[2, 1], 8, 28, "double-sine", "vertical")
    assert whole.shape == low.shape
    np.testing.assert_array_equal(whole[2, 1], alone)


def test_thresholds_may_differ_by_draw():
    low, high = np.full((2, 5), 6.0), np.full((2, 5), 26.0)
    got = degree_days(low, high, [[8.0], [12.0]])
    assert (got[0] > got[1]).all()


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (((12,), (10,), 5), "t_max is below t_min"),
        (((1,), (10,), 5, None, "single-sine", "vertical"), "needs an upper threshold"),
        (((1,), (10,), 5, 5, "single-sine", "vertical"), "not above"),
        (((1,), (10,), 5, None, "sine"), "is none of"),
        (((1,), (10,), 5, 30, "average", "flat"), "is none of"),
    ],
)
def test_refusals(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        degree_days(*call)


days = st.tuples(st.floats(-30, 40), st.floats(0, 30))


@settings(max_examples=60, deadline=None)
@given(days, st.floats(0, 15), st.floats(0.5, 25), st.sampled_from(METHODS))
def test_cutoffs_stand_in_order(day, lower, room, method):
    low, high = [day[0]], [day[0] + day[1]]
    by = [degree_days(low, high, lower, lower + room, method, c)[0] for c in CUTOFFS]
    none, horizontal, intermediate, vertical = by
    assert none >= horizontal >= intermediate - 1e-9 >= -1e-9
    assert horizontal >= vertical - 1e-9 >= -1e-9
    assert horizontal <= room + 1e-9


@settings(max_examples=60, deadline=None)
@given(days, st.floats(0, 15), st.floats(0, 5), st.sampled_from(METHODS))
def test_warmer_days_and_lower_thresholds_never_give_less(day, lower, step, method):
    low, high = np.array([day[0]]), np.array([day[0] + day[1]])
    here = degree_days(low, high, lower, None, method)
    assert (degree_days(low + step, high + step, lower, None, method) >= here - 1e-9).all()
    assert (degree_days(low, high, lower - step, None, method) >= here - 1e-9).all()
    assert (here >= degree_days(low, high, lower, None, "average") - 1e-9).all()
