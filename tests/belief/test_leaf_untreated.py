"""What a leaf disease would have done without a treatment, against runs of the other kind."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.test_leaf_disease import believe, both, severity

from lattermath.belief.leaf_untreated import less_ill, without

SEEN = [(30, severity(4.0)), (49, severity(9.0))]


def test_without_what_does_nothing_there_nothing_changes() -> None:
    """Cucumbers were sprayed; courgettes go on as they are believed, but for spores between."""
    one = both("sulfur", 33, places=(1,))
    belief = believe(SEEN, [one])
    left = without(belief, belief.applied[0])
    assert left[:, 0] == pytest.approx(belief.past[:, 0], rel=1e-6)
    assert np.median(left[:, 1, -1]) > np.median(belief.past[:, 1, -1])


def test_before_the_spray_both_are_one_and_after_it_they_part() -> None:
    belief = believe(SEEN, [both("sulfur", 33)])
    left, day = without(belief, belief.applied[0]), belief.applied[0].day
    assert left[:, :, : day + 1] == pytest.approx(belief.past[:, :, : day + 1])
    assert np.median(left[:, 0, -1]) > 1.2 * np.median(belief.past[:, 0, -1])
    share = less_ill(belief, left, 0, belief.today)
    assert 0.1 < np.median(share) < 1
    assert (share >= -1e-9).all()
