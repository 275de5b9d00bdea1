"""What ten leaves can say: the chances told beside those of simulated looks."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, TABLES, plot_of, stands

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.count_likelihood import LOOK_SD, clumping
from lattermath.belief.life_figures import LifeFigures, read_life
from lattermath.planning.ten_leaves import CLEAR, HEAVY, ten_leaves
from lattermath.vocabulary.plot import Planting

DAY, LOOKS = 45, 40_000


def life_of(organism: str) -> LifeFigures:
    row = TABLES.organisms[organism]
    return read_life(row, TABLES.constants["defaults"].figures, TABLES.habits[organism])


def totals(mean: float) -> np.ndarray:
    """Looks thrown leaf by leaf: clumped leaves, and one error for the whole look."""
    rng = np.random.default_rng(11)
    error = np.exp(rng.normal(-(LOOK_SD**2) / 2, LOOK_SD, (LOOKS, 1)))
    k = float(clumping(mean))
    leaf = rng.gamma(k, mean / k, (LOOKS, 10))
    return rng.poisson(leaf * error).sum(1)


def test_the_chances_told_are_those_of_thrown_looks() -> None:
    """Whitefly on cucumbers, 40,000 looks: within 0.03 (the sum of clumped leaves is smoothed)."""
    action = LIFE.figures.habits.action.value
    seen = np.mean([0.6, 0.75, 0.9])  # of the three stages that sit fast, by how large they are
    told = ten_leaves(LIFE.figures, stands()[0], DAY)
    share = 0.9  # of them on the undersides, where one looks
    usual = np.ceil(10 * action * seen * share)
    assert told.heavy_missed == pytest.approx(
        (totals(HEAVY * action * seen * share) < usual).mean(), abs=0.03
    )
    assert told.clear_missed == pytest.approx(
        (totals(CLEAR * action * seen * share) == 0).mean(), abs=0.03
    )


def test_ten_leaves_say_heavy_and_not_clear_where_that_is_true() -> None:
    says = ten_leaves(LIFE.figures, stands()[0], DAY).says
    assert says.startswith("enough to say heavy, not to say clear")


@pytest.mark.parametrize(
    ("organism", "crop"),
    [("hornworms", "tomato_indeterminate")],
)
def test_of_what_is_seldom_or_hidden_it_is_not_said(organism: str, crop: str) -> None:
    life = life_of(organism)
    (home,) = stands_of(plot_of(Planting("c", "C", crop, 12, "a")), life, TABLES.crosswalk)
    assert ten_leaves(life, home, DAY).says.startswith("not enough to say heavy or clear")
