"""What is soiled of the coming pickings, against a walk through days and draws."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.spoiled_pickings import ON_THE_PLANT_D, in_draws, soiled_and_thrown
from lattermath.knowledge.organisms import Spoils
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.figure import Figure

TABLES = load_tables()
N_PAST, N_DAYS, N_DRAWS = 25, 10, 6


def plain(soils: float, discards: float | None) -> Spoils:
    """A curve without doubt."""
    one = TABLES.habits["green_peach_aphid"].spoils("leaves")
    figures = [
        None if v is None else Figure(v, None, None, "d/cm2", one.soils.origin, "")
        for v in (soils, discards)
    ]
    return Spoils(figures[0], figures[1], one.by, one.remedy, one.counted)


def by_hand(fed, picked, window, figure) -> list[float]:
    """Each day's picking by what fed in the days before it, weighed by what it gives."""
    found = []
    for draw in range(N_DRAWS):
        spoiled, all_of_it = 0.0, 0.0
        for day in range(N_DAYS):
            today = N_PAST + day
            days = sum(fed[draw, max(0, today + 1 - window) : today + 1])
            spoiled += picked[draw, day] * (1 - 0.95 ** (days / figure))
            all_of_it += picked[draw, day]
        if all_of_it:
            found.append(spoiled / all_of_it)
    return found


@pytest.mark.parametrize("eaten", sorted(ON_THE_PLANT_D))
def test_shares_are_those_of_day_by_day_picking(eaten) -> None:
    dice = np.random.default_rng(5)
    fed = dice.gamma(0.5, 0.1, (N_DRAWS, N_PAST + N_DAYS))
    picked = dice.gamma(1, 1, (N_DRAWS, N_DAYS)) * (dice.random((N_DRAWS, N_DAYS)) < 0.7)
    picked[2] = 0.0  # killed by frost: nothing is picked, so nothing is soiled
    soiled, thrown = soiled_and_thrown(fed, picked, eaten, plain(0.5, 4.0))
    window = ON_THE_PLANT_D[eaten]
    assert soiled == pytest.approx(by_hand(fed, picked, window, 0.5), rel=1e-9)
    assert thrown == pytest.approx(by_hand(fed, picked, window, 4.0), rel=1e-9)


def test_nothing_is_thrown_where_the_table_has_no_figure() -> None:
    fed, picked = np.ones((2, 30)), np.ones((2, 3))
    soiled, thrown = soiled_and_thrown(fed, picked, "fruit", plain(5.0, None))
    assert soiled.min() > 0 and not thrown.any()


def test_a_doubt_is_spread_between_its_ends() -> None:
    """A tenth of the draws below the low end, half below the middle, a tenth above the high."""
    figure = TABLES.habits["cabbage_whitefly"].spoils("leaves").discards
    drawn = in_draws(figure, 1000)
    for end, share in ((figure.low, 0.1), (figure.value, 0.5), (figure.high, 0.9)):
        assert np.mean(drawn < end) == pytest.approx(share, abs=0.01)


def test_heavier_feeding_soils_and_spoils_more_in_every_draw() -> None:
    for habits in TABLES.habits.values():
        for eaten in ON_THE_PLANT_D:
            spoils = habits.spoils(eaten)
            if spoils is None:
                continue
            few = np.random.default_rng(3).gamma(1, spoils.soils.value / 20, (200, 40))
            picked = np.ones((200, 20))
            before = soiled_and_thrown(few, picked, eaten, spoils)
            after = soiled_and_thrown(4 * few, picked, eaten, spoils)
            for less, more in zip(before, after, strict=True):
                assert np.all(less <= more) and more.max() <= 1
            assert np.all(after[1] <= after[0])
