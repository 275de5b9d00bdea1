"""Tomato yield against Septoria leaf spot. Source: Ferrandino and Elmer 1992 (abstract read).

Y = 9.9 - 0.0028 AUDPC^2, in proportion-days (unit inferred); figures from the disease table.
"""

import numpy as np
import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.science.disease_progress import yield_left
from lattermath.science.leaf_loss import LeafLoss

ROW = load_tables().diseases["septoria_leaf_spot_tomato"].row
HEALTHY, SLOPE = (ROW.figure(f"yield_vs_audpc[{n}]").value for n in (0, 1))


def test_yield_by_area() -> None:
    left = yield_left([0, 10, 20, 30], -SLOPE, HEALTHY)
    assert left == pytest.approx([9.90, 9.62, 8.78, 7.38], abs=0.005)
    assert left / HEALTHY == pytest.approx([1, 0.972, 0.887, 0.745], abs=5e-4)


def test_the_sheets_loss_bends_as_the_paper_does() -> None:
    """Halving a small epidemic (10 to 5) saves about 2 % of the yield, a large one (40 to 20) about
    34 points. Ours, day by day over 60 days of bearing, with the worst loss of the sheet."""
    loss = LeafLoss(1.0)

    def lost(area: float) -> float:
        return float(np.mean(loss.lost(np.full(60, area / 60))))

    assert lost(10) - lost(5) == pytest.approx(0.02, abs=0.005)
    assert lost(40) - lost(20) == pytest.approx(0.34, abs=0.02)
