"""Tomato yield against Septoria leaf spot. Source: Ferrandino and Elmer 1992 (abstract read).

Y = 9.9 - 0.0028 AUDPC^2, in proportion-days (unit inferred); figures from the disease table.
"""

import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.science.disease_progress import yield_left

ROW = load_tables().diseases["septoria_leaf_spot_tomato"].row
HEALTHY, SLOPE = (ROW.figure(f"yield_vs_audpc[{n}]").value for n in (0, 1))


def test_yield_by_area() -> None:
    left = yield_left([0, 10, 20, 30], -SLOPE, HEALTHY)
    assert left == pytest.approx([9.90, 9.62, 8.78, 7.38], abs=0.005)
    assert left / HEALTHY == pytest.approx([1, 0.972, 0.887, 0.745], abs=5e-4)
