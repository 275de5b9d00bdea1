"""Laying by age: the parts of a laying life against the curve that they are cut from."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate

from lattermath.belief.laying_age import laid_by_parts
from lattermath.knowledge.tables import load_tables

HABITS = load_tables().habits


@pytest.mark.parametrize("most_at", [0.1, 0.25, 0.6])
def test_parts_are_the_integrals_of_the_curve(most_at: float) -> None:
    def curve(x: float) -> float:
        return x * np.exp(-x / most_at)

    whole, _ = integrate.quad(curve, 0, 1)
    for n, share in enumerate(laid_by_parts(most_at)):
        part, _ = integrate.quad(curve, n / 3, (n + 1) / 3)
        assert share / 3 == pytest.approx(part / whole, rel=1e-6)


def test_without_a_figure_all_ages_lay_alike() -> None:
    assert laid_by_parts(None) == (1.0, 1.0, 1.0)
    assert HABITS["greenhouse_whitefly"].lays_most_at is None


@pytest.mark.parametrize(
    ("kind", "by_share", "eggs"),
    [
        ("diamondback_moth", 0.3, 0.5),  # half in the first 3 of some 10 nights (recalled)
        ("squash_bug", 0.42, 0.9),  # in about 42 of 100 days (recalled)
        ("colorado_potato_beetle", 0.55, 0.9),  # in about 33 days of 60 (recalled)
    ],
)
def test_the_figures_say_what_the_pest_table_says(kind: str, by_share: float, eggs: float) -> None:
    """The share of the eggs that the pest table's words put before a share of the laying life."""
    most_at = HABITS[kind].lays_most_at
    assert most_at is not None
    x = np.linspace(0, 1, 20_001)
    laid = np.cumsum(x * np.exp(-x / most_at))
    assert np.interp(by_share, x, laid / laid[-1]) == pytest.approx(eggs, abs=0.06)
