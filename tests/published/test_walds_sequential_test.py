"""Sequential classification against a public package's test file and a worked specification.

Sources: test file of the open R package `sequential.pops` (read; values run in checks-treatments
A5.1); its vignette on tomato leafminer, Rincon et al. 2021 (specification read, numbers run, A5.2);
binomial specification (read, run). Operating figures simulated there: 4000 runs, seed 1.
"""

from __future__ import annotations

import pytest

from lattermath.science.counting import Taylor
from lattermath.science.sequential_counts import (
    real_errors,
    stop_lines,
    stop_lines_of_infested,
)

LINES = stop_lines(2, 4, 4.6, 0.1, 0.1)


def test_lines() -> None:
    assert LINES.slope == pytest.approx(2.84181, abs=5e-6)
    assert LINES.upper_intercept == pytest.approx(5.12825, abs=6e-6)
    assert LINES.lower_intercept == pytest.approx(-5.12825, abs=6e-6)


def test_five_leaves_to_a_decision() -> None:
    totals, verdicts, upper = 0, [], []
    for n, count in enumerate([2, 5, 6, 2, 7], start=1):
        totals += count
        verdicts.append(LINES.verdict(n, totals))
        upper.append(LINES.slope * n + LINES.upper_intercept)
    assert verdicts == ["go on"] * 4 + ["high"]
    assert upper == pytest.approx([7.970, 10.812, 13.654, 16.495, 19.337], abs=6e-4)


def test_tomato_leafminer() -> None:
    k = Taylor(1.83, 1.21).k(9)
    assert k == pytest.approx(4.72946, abs=5e-6)
    lines = stop_lines(8, 10, k, 0.1, 0.1)
    assert lines.slope == pytest.approx(8.93856, abs=5e-6)
    assert lines.upper_intercept == pytest.approx(28.45668, abs=6e-6)
    assert lines.lower_intercept == pytest.approx(-28.45668, abs=6e-6)


def test_infested_or_not() -> None:
    lines = stop_lines_of_infested(0.35, 0.45, 0.1, 0.1)
    assert lines.slope == pytest.approx(0.399299, abs=5e-7)
    assert lines.upper_intercept == pytest.approx(5.251888, abs=5e-7)


@pytest.mark.parametrize(
    ("mean", "high", "leaves"), [(2, 0.05, 6.6), (3, 0.57, 9.0), (4, 0.93, 5.5)]
)
def test_operating_characteristic(mean: float, high: float, leaves: float) -> None:
    found = real_errors(LINES, mean, 4.6)
    assert found.called_high == pytest.approx(high, abs=0.03)
    assert found.mean_leaves == pytest.approx(leaves, abs=0.4)
