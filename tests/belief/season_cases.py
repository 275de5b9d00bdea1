"""Invented weather for tests: a steady warmth, or a summer that cools into autumn."""

from __future__ import annotations

import hashlib
from datetime import date

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason, SeasonWeather
from lattermath.knowledge.tables import load_tables

N_DRAWS = 200


def dice(name: str) -> np.random.Generator:
    """A stream of its own for each name, the same at every call."""
    words = hashlib.sha256(name.encode()).digest()
    return np.random.default_rng(np.frombuffer(words, dtype=np.uint32).tolist())


def steady(
    mean_c: float = 23.0, first: date = date(2025, 5, 1), n_days: int = 200, today: int = 90
) -> GrowingSeason:
    """Every day alike, bright and long, in one future; no frost."""
    t_min, t_max = np.full((1, n_days), mean_c - 6), np.full((1, n_days), mean_c + 6)
    return GrowingSeason(
        load_tables(),
        SeasonWeather(
            first, today, t_min, t_max, np.full(n_days, 15.0), np.full(n_days, 22.0),
            np.zeros(N_DRAWS, dtype=np.intp),
        ),
    )  # fmt: skip


def autumn(
    today: date = date(2025, 8, 5),
    *,
    n_futures: int = 25,
    warmest_c: float = 25.0,
    coldest_c: float = -3.0,
    seed: int = 7,
) -> GrowingSeason:
    """April to mid-November at about 41 N: one past, many futures, first frost in October."""
    first, n_days = date(2025, 4, 1), 230
    rng = np.random.default_rng(seed)
    of_year = np.arange(n_days) + (first - date(2025, 1, 1)).days + 1
    usual = (warmest_c + coldest_c) / 2 + (warmest_c - coldest_c) / 2 * np.cos(
        2 * np.pi * (of_year - 203) / 365
    )
    odd = np.zeros((n_futures, n_days))
    noise = rng.normal(0, 2.2, (n_futures, n_days))
    for k in range(1, n_days):
        odd[:, k] = 0.7 * odd[:, k - 1] + noise[:, k]
    half = np.clip(rng.normal(5.5, 1.0, (n_futures, n_days)), 2.0, 9.0)
    column = (today - first).days
    odd[:, :column], half[:, :column] = odd[0, :column], half[0, :column]
    mean = usual + odd
    daylength = 12 + 3 * np.sin(2 * np.pi * (of_year - 80) / 365)
    radiation = 14 + 8 * np.cos(2 * np.pi * (of_year - 172) / 365)
    future_of = np.arange(N_DRAWS) % n_futures
    return GrowingSeason(
        load_tables(),
        SeasonWeather(first, column, mean - half, mean + half, daylength, radiation, future_of),
    )
