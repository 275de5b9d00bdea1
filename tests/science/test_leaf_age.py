"""Ages of leaf in a canopy that grows, counted leaf by leaf; and what spared leaf does."""

from __future__ import annotations

import numpy as np
import pytest
from tests.science.test_leaf_disease import pace, run, work

from lattermath.science.leaf_age import spared_by_age
from lattermath.science.leaf_disease import TOP


@pytest.mark.parametrize(("growth", "age"), [(0.02, 16), (0.02, 5), (0.05, 21), (0.0, 10)])
def test_the_young_share_is_that_of_leaves_counted_by_birthday(growth: float, age: int) -> None:
    """A canopy grown day by day for long; the leaf born in the last days over all of it."""
    born = [1.0]
    for _ in range(3000 if growth else 50):
        born.append(sum(born) * growth if growth == 0 else born[-1] * (1 + growth))
    if growth == 0:
        born = [1.0] + [0.0] * 50
    young = sum(born[-age:]) / sum(born)
    assert spared_by_age(growth, age, 0.0) == pytest.approx(young, abs=1e-9)
    assert spared_by_age(growth, old_days=age, old_takes=0.0) == pytest.approx(1 - young, abs=1e-9)


def test_leaf_of_one_susceptibility_spares_nothing_and_no_leaf_is_both() -> None:
    assert spared_by_age(0.02) == 0
    assert spared_by_age(0.02, 10, 1.0, 30, 1.0) == 0
    with pytest.raises(ValueError, match="young and old"):
        spared_by_age(0.02, 20, 0.5, 10, 0.5)


def test_spared_leaf_stays_clean_and_the_young_epidemic_keeps_its_rate() -> None:
    bare = pace(0.3, 4.0)
    spared = type(bare)(*(getattr(bare, name) for name in (
        "rate", "latent", "crossing", "response", "growth", "arriving", "suits", "ripening")),
        np.full(60, 0.25))  # fmt: skip
    plain, kept = run(1e-7, bare, work())[:, TOP], run(1e-7, spared, work())[:, TOP]
    assert kept[20] == pytest.approx(plain[20], rel=1e-3)  # while little leaf is taken
    ends = [run(1e-3, p, work())[-1, TOP] for p in (bare, spared)]
    assert ends[0] > 0.95 and ends[1] == pytest.approx(0.75, abs=0.01)


def test_each_planting_may_have_weather_of_its_own() -> None:
    """Two plantings in one run as each alone."""
    from lattermath.science.leaf_disease import LATENT_CLASSES, LeafPace, LeafWork, run_leaf_disease

    days, one = 30, pace()
    weather = np.stack([np.full(days, 1.0), np.linspace(0, 1, days)])[None]
    flat = (one.rate, one.latent, one.crossing)
    zeros = np.zeros((days, 1, 2, 2))
    ripe = np.ones((1, days))
    both = LeafPace(*flat, weather, np.zeros(days), np.zeros((1, 2)), np.ones(2), ripe)
    start = np.full((1, 2, 2), 0.01)
    together = run_leaf_disease(
        both, start, np.zeros((1, 2, 2, LATENT_CLASSES)), LeafWork(zeros, zeros)
    )[0]
    for place in (0, 1):
        alone = LeafPace(
            *flat, weather[:, place], np.zeros(days), np.zeros((1, 1)), np.ones(1), ripe
        )
        none = np.zeros((days, 1, 1, 2))
        apart = run_leaf_disease(
            alone, start[:, :1], np.zeros((1, 1, 2, LATENT_CLASSES)), LeafWork(none, none)
        )[0]
        np.testing.assert_array_equal(together[:, place], apart[:, 0])
