"""Flight by temperature and settling by distance against integrals and counting."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate

from lattermath.science.adult_flight import flight_share, points_of, settle_matrix, shaken_matrix


def test_no_flight_below_the_threshold_and_all_of_it_on_a_hot_day() -> None:
    """Bonsignore 2015 (abstract read): none at 12.3 C."""
    assert flight_share(5.0, 12.3, 12.3, 0.8) == pytest.approx(0.0)
    assert flight_share(20.0, 30.0, 12.3, 0.8) == pytest.approx(0.8)


def test_flight_is_the_mean_over_the_sine_of_the_day() -> None:
    truth, _ = integrate.quad(
        lambda u: np.clip((16 + 6 * np.sin(u) - 12.3) / 6, 0, 1), 0, 2 * np.pi, limit=200
    )
    assert flight_share(10.0, 22.0, 12.3, 1.0) == pytest.approx(truth / (2 * np.pi), abs=0.005)


def test_settling_falls_with_distance_and_follows_the_host() -> None:
    points = np.stack([points_of(x, 0.0, 1.0, 1.0) for x in (0.0, 2.0, 5.0)])
    even = settle_matrix(points, np.ones(3), np.ones(3), 2.0)
    assert even.sum(1) == pytest.approx(1.0)
    assert even[0, 0] > even[0, 1] > even[0, 2] > 0
    better = settle_matrix(points, np.ones(3), np.array([1.0, 0.2, 0.0]), 2.0)
    assert better[0, 1] < even[0, 1] and np.all(better[:, 2] == 0)


def test_two_beds_share_as_the_double_integral_says() -> None:
    """Kernel exp(-d / a) averaged over both beds by quadrature, 1 by 1 m and 2 m apart."""
    scale = 0.75

    def mean(gap: float) -> float:
        rng = np.random.default_rng(5)
        one, two = rng.uniform(-0.5, 0.5, (2, 400_000, 2))
        two[:, 0] += gap
        return float(np.exp(-np.hypot(*(one - two).T) / scale).mean())

    points = np.stack([points_of(x, 0.0, 1.0, 1.0, each_way=8) for x in (0.0, 2.0)])
    ours = settle_matrix(points, np.ones(2), np.ones(2), 2 * scale)
    assert ours[0, 1] == pytest.approx(mean(2.0) / (mean(0.0) + mean(2.0)), rel=0.05)


def test_shaken_insects_land_on_their_plant_but_for_a_share_that_flies() -> None:
    points = np.stack([points_of(x, 0.0, 1.0, 1.0) for x in (0.0, 1.5, 6.0)])
    settle = settle_matrix(points, np.ones(3), np.ones(3), 1.25)
    shaken = shaken_matrix(settle, 0.2)
    assert shaken.sum(1) == pytest.approx(1.0)
    gone = 1 - np.diag(shaken)
    assert np.all(gone < 0.2) and gone == pytest.approx(0.2 * (1 - np.diag(settle)))
    assert shaken[0, 1] > shaken[0, 2]
    assert shaken_matrix(np.eye(1), 0.2) == pytest.approx(np.eye(1))


def test_a_plot_where_nothing_attracts_is_refused() -> None:
    with pytest.raises(ValueError, match="attract"):
        settle_matrix(np.zeros((2, 1, 2)), np.ones(2), np.zeros(2), 1.0)
