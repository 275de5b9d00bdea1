"""A small plot in steady weather, for tests of nature against closed forms."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import date

import numpy as np

from lattermath.knowledge.tables import load_tables
from lattermath.nature.creatures import Creature, throw_creature
from lattermath.nature.sky import NatureSky
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Planting, Plot

TABLES = load_tables()
BEGINS = date(2011, 6, 1)


def streams(seed: int) -> Callable[[str], np.random.Generator]:
    return lambda name: np.random.default_rng(
        list(hashlib.sha256(f"{seed} {name}".encode()).digest())
    )


def steady(mean_c: float = 24.0, half_range: float = 0.0, days: int = 200) -> NatureSky:
    """The same day over and over, from 1 May."""
    low, high = np.full(days, mean_c - half_range), np.full(days, mean_c + half_range)
    return NatureSky(date(2011, 5, 1), low, high, np.zeros(days))


def plot_of(*crops: str, plants: int = 4) -> Plot:
    return Plot(
        "plot",
        "holder",
        Place("here", 50.8, 4.4, "Europe/Brussels"),
        beds=tuple(Bed(f"b{n}", f"b{n}", 0.0, 2.0 * n, 3.0, 1.2) for n in range(len(crops))),
        plantings=tuple(
            Planting(f"p{n}", f"{crop} {n}", crop, plants, f"b{n}", set_out=date(2011, 5, 25))
            for n, crop in enumerate(crops)
        ),
    )


def creature(organism: str = "greenhouse_whitefly", seed: int = 1) -> Creature:
    return throw_creature(TABLES, organism, streams(seed)("creature"))
