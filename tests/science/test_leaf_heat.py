"""Warmth of watered leaves, against a worked noon and what was recalled of baselines."""

import numpy as np
import pytest

from lattermath.science.leaf_heat import OF_LEAVES, cooled_days, leaf_heat

IDSO_1982 = {  # recalled: intercept [C] and slope [C/kPa] of leaf less air, watered, in sun
    "tomato": (2.86, -1.96), "cucumber": (4.88, -2.52), "bean": (2.91, -2.35),
    "potato": (1.17, -1.83),
}  # fmt: skip


def pressure(t: float) -> float:
    """Saturation over water by Magnus' form with Sonntag's constants. [kPa]"""
    return 0.6112 * float(np.exp(17.62 * t / (243.12 + t)))


@pytest.mark.parametrize(("low", "high"), [(17.0, 37.0), (20.0, 39.0), (15.0, 32.0)])
def test_the_coolest_leaves_lie_among_the_crops_that_were_measured(low: float, high: float) -> None:
    lacks = pressure(high) - pressure(low)
    crops = [a + b * lacks for a, b in IDSO_1982.values()]
    coolest = float(leaf_heat(np.array([high]), low)[0].min()) - high
    assert min(crops) - 0.5 < coolest < max(crops) + 0.5


def test_steady_and_damp_heat_is_felt_whole_and_no_leaf_is_warmer() -> None:
    heat = np.linspace(20.0, 45.0, 26)
    for t in heat:
        assert leaf_heat(np.full(3, t), t) == pytest.approx(np.full((3, 3), t))
    leaves = leaf_heat(heat, 18.0)
    assert (leaves <= heat[:, None]).all() and (np.diff(leaves, axis=1) <= 0).all()
    assert leaves.shape == (26, len(OF_LEAVES))


def test_days_on_which_nothing_is_cooled_are_told() -> None:
    low, high = np.array([15.0, 15.0, 28.0]), np.array([22.0, 30.0, 33.0])
    cooled = [
        bool((leaf_heat(np.array([h]), lo) < h).any()) for lo, h in zip(low, high, strict=True)
    ]
    assert list(cooled_days(low, high)) == cooled == [False, True, False]
