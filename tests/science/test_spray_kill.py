"""Kill by route against hand arithmetic and the published persistence table."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate

from lattermath.science.spray_kill import (
    contact_kill,
    left_alive,
    residual_kill,
    residue,
    wetted_share,
)


@pytest.mark.parametrize(
    ("half_life", "left"), [(7.0, 0.500), (1.0, 0.0078), (8.0, 0.545), (5.0, 0.379)]
)
def test_residue_after_seven_days(half_life, left) -> None:
    """A12, SWAT and GLEAMS table (read): carbaryl, malathion, permethrin, chlorothalonil."""
    assert residue(half_life, 7)[7] == pytest.approx(left, abs=5e-4)


def test_residue_starts_whole_and_solves_its_differential_equation() -> None:
    left = residue(4.0, 12)
    solved = integrate.solve_ivp(
        lambda _, y: -np.log(2) / 4.0 * y, (0, 12), [1.0], t_eval=range(13), rtol=1e-10, atol=1e-12
    )
    assert left[0] == 1.0 and len(left) == 13
    assert left == pytest.approx(solved.y[0], rel=1e-6)


def test_a_day_of_rain_washes_once_and_a_drizzle_does_not() -> None:
    rain = [0.0, 12.0, 1.0]
    assert residue(8.0, 3, rain, 0.30) == pytest.approx(
        [1.0, 0.5 ** (1 / 8), 0.7 * 0.5 ** (2 / 8), 0.7 * 0.5 ** (3 / 8)]
    )
    assert residue(8.0, 3, [12.0], 0.9)[1] == pytest.approx(0.1 * 0.5 ** (1 / 8))


@pytest.mark.parametrize(
    "wrong",
    [{"half_life_days": 0.0}, {"days": -1}, {"wash_off_fraction": 1.2}, {"rain_mm": [-1.0]}],
)
def test_residue_refuses_what_cannot_be(wrong) -> None:
    with pytest.raises(ValueError, match="must"):
        residue(**({"half_life_days": 3.0, "days": 2, "rain_mm": [0.0]} | wrong))


def test_a_missed_surface_is_missed_whatever_the_dose() -> None:
    on_top_and_underside = [0.1, 0.9]
    tops = wetted_share(on_top_and_underside, [True, False], 1.0)
    both = wetted_share(on_top_and_underside, [True, True], 0.7)
    assert contact_kill(1.0, tops) == pytest.approx(0.1)
    assert contact_kill(0.95, both) == pytest.approx(0.665)  # practice: 0.95 in the lab, 0.65 out
    with pytest.raises(ValueError, match="sum"):
        wetted_share([0.5, 0.2], [True, True], 1.0)


def test_a_deposit_kills_less_each_day_and_never_the_leaf_grown_since() -> None:
    left = residue(4.0, 6)[:6]
    still, growing = residual_kill(0.6, left), residual_kill(0.6, left, leaf_growth=0.1)
    assert still[0] == pytest.approx(0.6)
    assert still[4] == pytest.approx(1 - 0.4 ** (0.5**1))  # half the hazard after a half-life
    assert np.all(np.diff(still) < 0) and np.all(growing[1:] < still[1:])


def test_kills_multiply() -> None:
    assert left_alive(0.5, 0.2) == pytest.approx(0.4)
    assert left_alive() == pytest.approx(1.0)
