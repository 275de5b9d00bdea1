"""A small plot with whitefly on it, for tests of belief and courses."""

from __future__ import annotations

import hashlib

import numpy as np

from lattermath.belief.cluster_plantings import Stand, stands_of
from lattermath.belief.cluster_runs import ClusterSky
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief, believe_cluster
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import Effect, effect_of
from lattermath.belief.treatment_kills import Application
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Planting, Plot

TABLES = load_tables()
LIFE = LifeHistory(
    read_life(
        TABLES.organisms["greenhouse_whitefly"],
        TABLES.constants["defaults"].figures,
        TABLES.habits["greenhouse_whitefly"],
    )
)
METHODS = ("soap", "pyrethrins", "prune_leaves")
TODAY, DAYS, N_DRAWS = 50, 100, 60


def dice(name: str) -> np.random.Generator:
    return np.random.default_rng(list(hashlib.sha256(name.encode()).digest()))


def plot_of(*plantings: Planting) -> Plot:
    beds = tuple(Bed(k, k, 4.0 * n, 0.0, 3.0, 1.2) for n, k in enumerate("abcdef"))
    place = Place("here", 50.8, 4.4, "Europe/Brussels")
    return Plot("plot", "holder", place, beds=beds, plantings=plantings)


PLANTINGS = (
    Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),
    Planting("aubergines", "Aubergines", "eggplant", 5, "b"),
    Planting("tomatoes", "Tomatoes", "tomato_indeterminate", 6, "c"),
)


def stands(*plantings: Planting) -> tuple[Stand, ...]:
    return stands_of(plot_of(*(plantings or PLANTINGS)), LIFE.figures, TABLES.crosswalk)


def sky(mean: float = 22.0, n_futures: int = 6, days: int = DAYS, today: int = TODAY) -> ClusterSky:
    rng = np.random.default_rng(8)
    past = np.repeat(rng.normal(0, 1.5, (1, today)), n_futures, axis=0)
    level = np.concatenate([past, rng.normal(0, 1.5, (n_futures, days - today))], axis=1) + mean
    return ClusterSky(
        level - 5.0, level + 5.0, np.zeros_like(level), np.arange(N_DRAWS) % n_futures, today
    )


def effect(method: str) -> Effect:
    found = effect_of(TABLES.methods[method], "greenhouse_whitefly", ["whitefly"], LIFE.stages)
    assert found is not None
    return found


def scales(planting: str, total: int, leaves: int = 10) -> Sighting:
    return Sighting(
        planting, "greenhouse_whitefly", "count", "scales", looked_at=leaves, total=total
    )


def believe(
    seen: list[tuple[int, Sighting]],
    applied: tuple[Application, ...] = (),
    weather: ClusterSky | None = None,
    homes: tuple[Stand, ...] | None = None,
) -> ClusterBelief:
    homes = stands() if homes is None else homes
    read = [read_sighting(s, day, n, homes, LIFE.figures) for n, (day, s) in enumerate(seen)]
    kept = [one for one in read if one is not None]
    return believe_cluster(LIFE, homes, weather or sky(), kept, applied, METHODS, dice)
