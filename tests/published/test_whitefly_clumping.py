"""How few leaves or plants hold few whiteflies: Martin et al. 1991, abstract seen.

In a house of 18,144 tomato plants 2,270 puparia sat on 137 plants, and eight weeks later 2,005 on
1,024. The clumping of the belief is one law for leaves and plants (decision 0036).
"""

from __future__ import annotations

import pytest
from scipy import stats

from lattermath.belief.count_likelihood import clumping

PLANTS = 18_144


def infested(puparia: int) -> float:
    """Share of plants with any, by the negative binomial of another library."""
    mean = puparia / PLANTS
    k = float(clumping(mean))
    return float(1 - stats.nbinom.pmf(0, k, k / (k + mean)))


def test_a_settled_infestation_is_as_clumped_as_ours() -> None:
    assert infested(2005) == pytest.approx(1024 / PLANTS, rel=0.15)


def test_one_that_has_just_come_is_more_clumped_than_ours() -> None:
    """Seven times fewer plants than we say: the law does not know how long they have been there."""
    assert infested(2270) / 5 > 137 / PLANTS
