"""Negative binomial of red mites on 150 apple leaves.

Source: Bliss and Fisher 1953, Biometrics 9:176 (data recalled, sums consistent; k 1.02459 recalled
and run). Checks-treatments A7.1.
"""

import numpy as np
import pytest

from lattermath.science.counting import fit_negative_binomial, moment_k

COUNTS = np.repeat(np.arange(8), [70, 38, 17, 10, 9, 3, 2, 1])


def test_fit() -> None:
    fit = fit_negative_binomial(COUNTS)
    assert fit.mean == pytest.approx(1.146667, abs=5e-7)
    assert fit.variance == pytest.approx(2.273647, abs=5e-7)
    assert fit.k == pytest.approx(1.024591, abs=5e-6)
    assert moment_k(fit.mean, fit.variance) == pytest.approx(1.166697, abs=5e-6)
