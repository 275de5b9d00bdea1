"""Dispersion of insects on leaves and the leaves that a wanted precision takes.

Sources: Xu 1985/86, greenhouse whitefly on bean (abstract read, log base 10 stated); Kabaluk, Binns
and Vernon 2006, peach-potato aphid on potato (abstract read, natural logarithms); Raworth 1986,
two-spotted mite on strawberry (abstract read). Derived figures of checks-treatments A2, A3, A6
(run there). Green 1970 for the lines (method named in the abstracts, formula recalled).
"""

from __future__ import annotations

import math

import pytest

from lattermath.science.counting import (
    Taylor,
    leaves_for_precision,
    plants_to_detect,
    share_above,
    stop_total,
)

WHITEFLY = Taylor(10**0.4642, 1.2617)
APHID = Taylor(math.exp(1.81), 1.55)
MITE = Taylor(math.exp(1.76), 1.64)


def test_the_base_of_the_logarithm() -> None:
    assert WHITEFLY.a == pytest.approx(2.912, abs=5e-4)
    assert APHID.a == pytest.approx(6.110, abs=5e-4)
    assert MITE.a == pytest.approx(5.812, abs=5e-4)
    level = 0.0644  # mean at which the paper says the variance meets the mean
    assert MITE.variance(level) == pytest.approx(level, rel=0.01)


def test_clumping_is_not_constant() -> None:
    assert [WHITEFLY.k(m) for m in (1, 5, 10)] == pytest.approx([0.523, 1.455, 2.315], abs=6e-4)


@pytest.mark.parametrize(
    ("law", "leaves"), [(WHITEFLY, (77.7, 46.6, 14.2, 8.5)), (APHID, (133.6, 97.8, 47.4, 34.7))]
)
def test_leaves_for_a_quarter(law: Taylor, leaves: tuple[float, ...]) -> None:
    found = [leaves_for_precision(m, 0.25, law) for m in (0.5, 1, 5, 10)]
    assert found == pytest.approx(leaves, abs=0.06)


@pytest.mark.parametrize(
    ("law", "totals"), [(WHITEFLY, (80.4, 54.5, 35.5)), (APHID, (1586.5, 414.3, 95.1))]
)
def test_stop_lines(law: Taylor, totals: tuple[float, ...]) -> None:
    assert [stop_total(n, 0.25, law) for n in (10, 30, 100)] == pytest.approx(totals, abs=0.06)


@pytest.mark.parametrize(
    ("law", "shares"),
    [
        (WHITEFLY, (0.158, 0.267, 0.428, 0.633, 0.886, 0.979)),
        (APHID, (0.132, 0.202, 0.298, 0.424, 0.623, 0.774)),
    ],
)
def test_share_of_leaves_with_any(law: Taylor, shares: tuple[float, ...]) -> None:
    found = [share_above(0, m, law.k(m)) for m in (0.25, 0.5, 1, 2, 5, 10)]
    assert found == pytest.approx(shares, abs=6e-4)


@pytest.mark.parametrize(("at_ten", "at_twenty"), [(149, 37), (163, 41)])
def test_twice_the_error_takes_a_quarter_of_the_leaves(at_ten: int, at_twenty: int) -> None:
    """Azam et al. 1997, Bemisia on tomato (read): leaflets at 10 and at 20 % error (A4)."""
    ours = leaves_for_precision(5, 0.2, WHITEFLY) / leaves_for_precision(5, 0.1, WHITEFLY)
    assert round(at_ten * ours) == at_twenty


def test_plants_that_find_an_infestation() -> None:
    """A glasshouse study (read): above 20 % infested, 20 plants detect with over 95 % (A4)."""
    assert [plants_to_detect(p, 0.95) for p in (0.05, 0.10, 0.20, 0.30)] == [59, 29, 14, 9]
    assert plants_to_detect(0.2, 0.98847) == 20  # 1 - 0.8^20, as printed
    assert plants_to_detect(0.2, 0.98848) == 21
