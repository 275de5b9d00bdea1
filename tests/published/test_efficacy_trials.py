"""Efficacy figures of trials, recomputed from what their abstracts print.

Sources (checks-treatments A11): pumpkin mildew bioassay 2021, squash mildew under plastic 2012 and
2013, cucumber mildew under glass, neem on Bemisia nymphs (Pinheiro), Naranjo and Ellsworth 2005:
abstracts read.
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.efficacy import abbott, henderson_tilton, probit_kill
from lattermath.science.spray_kill import left_alive


def test_pumpkin_mildew() -> None:
    assert abbott(1.0, 24.2) == pytest.approx(95.9, abs=0.05)
    assert abbott(9.8, 42.1) == pytest.approx(76.7, abs=0.05)
    assert abbott(0.0, 42.1) == 100
    assert abbott(0.968, 24.2) == pytest.approx(96.0, abs=0.05)  # severity below 1: 96 at least


def test_squash_mildew_mixture_beats_its_halves() -> None:
    """A11.7: untreated 90, 90, 91, 91 %; the mixture is more than two independent halves."""
    untreated = (90, 90, 91, 91)
    salt = [abbott(t, c) for t, c in zip((45, 49, 43, 48), untreated, strict=True)]
    both = [abbott(t, c) for t, c in zip((3, 4, 7, 2), untreated, strict=True)]
    oil = [abbott(42, 90), abbott(41, 91)]
    assert salt == pytest.approx([50.0, 45.6, 52.7, 47.3], abs=0.06)
    assert both == pytest.approx([96.7, 95.6, 92.3, 97.8], abs=0.06)
    assert oil == pytest.approx([53.3, 54.9], abs=0.06)
    halves = 100 * (1 - float(left_alive(np.mean(oil) / 100, np.mean(salt) / 100)))
    assert min(both) > halves + 10


def test_cucumber_mildew_by_area() -> None:
    assert abbott(342.06, 988.13) == pytest.approx(65.4, abs=0.05)
    assert abbott(322.84, 988.13) == pytest.approx(67.3, abs=0.05)


def test_neem_on_whitefly_nymphs() -> None:
    """Half killed at 0.32 %, 95 in 100 at 2.78 %: 80.7 at 1 %, above 80 by day 6 as printed."""
    slope = 1.644854 / np.log10(2.78 / 0.32)
    assert slope == pytest.approx(1.752, abs=5e-4)
    assert probit_kill(2.78, 0.32, slope) == pytest.approx(0.95, abs=1e-6)
    assert 100 * probit_kill(1.0, 0.32, slope) == pytest.approx(80.7, abs=0.05)


def test_nature_is_not_credited_to_the_spray() -> None:
    """A11.9: of 100 eggs 6.6 become adult untreated; a spray that does nothing has done nothing."""
    assert abbott(6.6, 6.6) == 0
    assert henderson_tilton(100, 6.6, 100, 6.6) == pytest.approx(0)
    assert henderson_tilton(100, 3.3, 100, 6.6) == pytest.approx(50)  # not the 96.7 seen to die
