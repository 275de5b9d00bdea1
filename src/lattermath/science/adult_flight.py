"""How far adult whiteflies go: flight by temperature, distance, and settling when shaken."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.development import day_temperatures

FloatArray = NDArray[np.float64]

FLIGHT_FULL_ABOVE_C = 6.0  # judgement: degrees above the threshold at which all are active


def flight_share(
    t_min: ArrayLike, t_max: ArrayLike, threshold_c: float, daily_share: float
) -> FloatArray:
    """Share of adults that change plant in a day, shape as given. [0 to 1]

    threshold_c : no flight at or below this. [C]
    daily_share : share that changes plant on a warm day.

    Activity rises evenly over 6 C above the threshold and is averaged over the sine of the day.
    Source: no flight at 12.3 C, Bonsignore 2015 (abstract read); the rise is judgement.
    """
    heat = day_temperatures(t_min, t_max)
    active = np.clip((heat - threshold_c) / FLIGHT_FULL_ABOVE_C, 0.0, 1.0).mean(-1)
    return np.asarray(daily_share * active)


def points_of(
    x_m: float, y_m: float, length_m: float, width_m: float, each_way: int = 4
) -> FloatArray:
    """Evenly spread points of a rectangle, centre given. [m], shape (each_way^2, 2)"""
    places = (np.arange(each_way) + 0.5) / each_way - 0.5
    east, north = np.meshgrid(x_m + places * length_m, y_m + places * width_m)
    return np.stack([east.ravel(), north.ravel()], axis=1)


def settle_matrix(
    points: FloatArray, area_m2: ArrayLike, attraction: ArrayLike, mean_flight_m: float
) -> FloatArray:
    """Where an insect that leaves a planting settles; rows sum to 1. (n_plantings, n_plantings)

    points        : points of each planting, (n_plantings, n_points, 2). [m]
    area_m2       : ground it covers, (n_plantings,). [m2]
    attraction    : host suitability of each, (n_plantings,); 0 attracts nobody.
    mean_flight_m : mean length of one flight. [m]

    Landing density falls as exp(-distance / a) with a = mean / 2, whose mean over the plane is
    `mean_flight_m`. Insects that would come down between plantings fly on until they find one.
    Source: shape from memory; the mean from Noldus et al. (abstract read).
    """
    scale = mean_flight_m / 2.0
    n = points.shape[0]
    pull = np.asarray(area_m2, dtype=np.float64) * np.asarray(attraction, dtype=np.float64)
    if np.any(pull < 0) or not np.any(pull > 0):
        raise ValueError("at least one planting must attract, and none less than 0")
    flat = points.reshape(-1, 2)
    distance = np.hypot(*(flat[:, None, :] - flat[None, :, :]).transpose(2, 0, 1))
    density = np.exp(-distance / scale).reshape(n, points.shape[1], n, points.shape[1])
    weight = density.mean((1, 3)) * pull[None, :]
    # A planting too far from any host keeps its insects rather than lose them to rounding.
    total = weight.sum(1, keepdims=True)
    home = np.eye(n)
    return np.where(total > 1e-12, weight / np.where(total > 0, total, 1.0), home)


def shaken_matrix(settle: FloatArray, to_neighbour: float) -> FloatArray:
    """Where insects put up by work settle: on their plant, but for a share that flies one flight.

    settle       : from `settle_matrix`.
    to_neighbour : share of those put up that goes to other plants, by distance. [0 to 1]
    """
    return np.asarray((1 - to_neighbour) * np.eye(settle.shape[0]) + to_neighbour * settle)


def mean_displacement(places_m: FloatArray, share: FloatArray, origin: int) -> float:
    """Mean distance of insects from the place of their origin. [m]

    places_m : (n_places, 2); share : share of the insects at each place, (n_places,).
    """
    away = np.hypot(*(places_m - places_m[origin]).T)
    return float((away * share).sum() / share.sum())
