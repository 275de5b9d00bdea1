"""Loss by severity: never a straight line, and what a tolerance means."""

import numpy as np
import pytest

from lattermath.science.leaf_loss import LeafLoss


def test_the_ends_and_the_middle() -> None:
    assert LeafLoss(0.5).lost([0, 1]).tolist() == [0, 0.5]
    assert LeafLoss(1.0, 0.5).lost([0.25, 0.5, 0.75, 1.0]) == pytest.approx([0, 0, 0.25, 1.0])
    assert LeafLoss(1.0).lost(1.4) == 1.0


def test_it_bends_upwards() -> None:
    severity = np.linspace(0, 1, 51)
    assert (np.diff(LeafLoss(0.9).lost(severity), 2) > 0).all()
