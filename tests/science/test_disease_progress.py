"""Areas of disease against exact integration, and what a course of disease costs."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.science.disease_progress import action_severity, progress_area, yield_left

readings = st.lists(
    st.tuples(st.integers(0, 200), st.integers(0, 100)),
    min_size=2,
    max_size=9,
    unique_by=lambda one: one[0],
).map(sorted)


@given(readings)
def test_areas_by_exact_fractions(read) -> None:
    area = Fraction(0)
    for (t0, y0), (t1, y1) in pairwise(read):
        area += y0 * (t1 - t0) + Fraction((y1 - y0) * (t1 - t0), 2)
    lasted, n = read[-1][0] - read[0][0], len(read)
    steps = Fraction(sum(y for _, y in read), n) * lasted * n / (n - 1)
    found = progress_area([t for t, _ in read], [y for _, y in read])
    assert found.audpc == pytest.approx(float(area), rel=1e-12, abs=1e-9)
    assert found.relative == pytest.approx(float(area / (100 * lasted)), rel=1e-12, abs=1e-12)
    assert found.audps == pytest.approx(float(steps), rel=1e-12, abs=1e-9)


def test_steady_disease_fills_its_area_and_one_step_more() -> None:
    found = progress_area([0, 7, 14], [100, 100, 100])
    assert (found.audpc, found.relative, found.audps) == (1400, 1, 2100)


def test_one_reading_has_no_area_and_wrong_ones_are_refused() -> None:
    assert progress_area([3], [40]).audpc is None
    for times, severity in [([1, 1], [2, 3]), ([2, 1], [2, 3]), ([1], [2, 3]), ([], [])]:
        with pytest.raises(ValueError, match="times"):
            progress_area(times, severity)
    with pytest.raises(ValueError, match="needs its time"):
        progress_area([1, 2], [np.nan, 3])


def test_a_large_epidemic_cut_by_half_saves_far_more_than_a_small_one() -> None:
    """checks-diseases 8, behaviour: a linear loss fails this."""
    whole, half = yield_left([10, 40], 0.0028, 9.9), yield_left([5, 20], 0.0028, 9.9)
    saved = (half - whole) / 9.9
    assert saved[0] == pytest.approx(0.02, abs=0.005)
    assert saved[1] == pytest.approx(0.34, abs=0.005)


def test_a_poorer_treatment_needs_more_disease_to_pay() -> None:
    """checks-diseases 8, threshold arithmetic: maize, cost 30, value 112, loss 0.1712, 0.70."""
    assert action_severity(30, 112, 0.1712, 0.70) == pytest.approx(2.235, abs=0.0005)
    levels = [action_severity(30, 112, 0.1712, e) for e in (0.9, 0.7, 0.5, 0.1)]
    assert levels == sorted(levels)
    assert action_severity(30, 112, 0.1712, 0) is None
