"""Throws a plot as it might truly be when it is first looked at."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.tables import Tables
from lattermath.nature.creatures import Creature, throw_creature
from lattermath.nature.foliage import Foliage, throw_foliage
from lattermath.nature.fruiting import Fruiting, throw_fruiting
from lattermath.nature.grower import throw_grower
from lattermath.nature.mildew import throw_mildew
from lattermath.nature.plot_life import SOIL_MM, Nature
from lattermath.nature.sky import NatureSky, Streams
from lattermath.nature.swarm import Swarm
from lattermath.nature.swarm_days import Enemies, Home, favoured
from lattermath.vocabulary.plot import Planting, Plot

FloatArray = NDArray[np.float64]

WARMER_SD_C = 0.7  # judgement: leaves of a planting beside the screen of the station
INFESTED = 0.6  # judgement: chance that a planting has any of a kind at the start
OWN_START_SD = 1.2  # judgement: plantings of one plot at the start, log
ADULTS_THERE = 0.3  # judgement: share of adults among those there at the start
APART_M = 5.0  # judgement: plantings without a place stand this far from each other
UNKNOWN_AGE_D = 30.0  # judgement: of a planting without a date


def open_nature(
    tables: Tables,
    plot: Plot,
    sky: NatureSky,
    begins: date,
    organisms: Sequence[str],
    streams: Streams,
    diseases: Sequence[str] = (),
) -> Nature:
    """Throw a plot as it might truly be on the morning of a day.

    plot      : its plantings as declared. Those set out earlier have grown since; those to be set
                out later come up on their day.
    organisms : kinds of insect and mite that may be on it.
    diseases  : mildews that may come to it.
    streams   : gives a stream of chance by name; nature asks for one for each thing and day.

    InputError for an organism or a crop that the tables do not hold.
    """
    plantings = [p for p in plot.plantings if p.pulled is None and p.plants > 0]
    grown = [_grown(tables, one, begins, streams(f"planting {one.key}")) for one in plantings]
    start, n = sky.index(begins), len(plantings)
    nature = Nature(
        tables=tables,
        plot=plot,
        sky=sky,
        streams=streams,
        foliage=[leaves for leaves, _ in grown],
        homes={},
        swarms={},
        enemies={},
        fruiting=[fruit for _, fruit in grown],
        grower=throw_grower(streams("grower")),
        day=start,
        keys=[p.key for p in plantings],
        plantings=plantings,
        water_mm=np.full(n, SOIL_MM),
        eaten=np.zeros(n),
        borne=[np.zeros(n) for _ in range(start)],
    )
    warmer = streams("warmer").normal(0, WARMER_SD_C, n)
    for organism in organisms:
        _bring(nature, organism, warmer)
    for disease in diseases:
        crops = [p.crop for p in plantings]
        nature.mildews[disease] = throw_mildew(tables, disease, crops, streams(f"of {disease}"))
    return nature


def _grown(
    tables: Tables, one: Planting, begins: date, rng: np.random.Generator
) -> tuple[Foliage, Fruiting | None]:
    """Leaves and fruit of a planting as old as it is; one not yet set out has no plant standing."""
    crop = tables.crops[one.crop]
    age = float((begins - one.started).days) if one.started else UNKNOWN_AGE_D
    leaves = throw_foliage(one.crop, crop.family, one.plants, max(age, 0.0), rng)
    fruit = throw_fruiting(crop, one.plants, rng)
    if age < 0:
        leaves.stands[:] = False
    if fruit is not None:
        fruit.heat = max(age, 0.0) * fruit.a_day * 0.9
    return leaves, fruit


def _bring(nature: Nature, organism: str, warmer: FloatArray) -> None:
    """Throw how a kind lives here, and what of it is there already."""
    rng = nature.streams(f"creature {organism}")
    creature = throw_creature(nature.tables, organism, rng)
    swarm = Swarm(creature)
    centres = np.array([centre_of(nature.plot, p, n) for n, p in enumerate(nature.plantings)])
    suited = np.array([suits(nature, creature, p.crop, rng) for p in nature.plantings])
    home = Home(nature.foliage, suited, warmer.copy(), centres)
    nature.swarms[organism], nature.homes[organism] = swarm, home
    nature.enemies[organism] = Enemies.none_yet(len(nature.plantings))
    own = np.exp(rng.normal(0, OWN_START_SD, home.n)) * (rng.random(home.n) < INFESTED)
    plants = np.array([p.plants for p in nature.plantings])
    there = rng.poisson(creature.start * own * suited * plants * home.standing)
    place = np.repeat(np.arange(home.n), there)
    if len(place):
        _add_mixed(swarm, home, place, rng)


def _add_mixed(
    swarm: Swarm, home: Home, place: NDArray[np.int64], rng: np.random.Generator
) -> None:
    """Insects of all ages, the young in proportion to how long a stage lasts."""
    n, creature = len(place), swarm.creature
    grown = rng.random(n) < ADULTS_THERE
    stage = np.where(grown, swarm.adult, rng.choice(swarm.adult, n, p=creature.shares))
    done = np.where(grown, rng.uniform(0, creature.adult_days / 2, n), rng.random(n))
    plant, leaf = home.settle(place, favoured(creature.organism), rng)
    swarm.add(place, plant, leaf, stage, done, np.ones(n, np.int64), rng)


def suits(nature: Nature, creature: Creature, crop: str, rng: np.random.Generator) -> float:
    """How well one planting suits a kind: the table's word for the host, and its own quality."""
    word = nature.tables.crosswalk.host(crop, creature.hosts)
    quality = float(np.exp(rng.normal(0, creature.host_sd)))
    return 0.0 if word is None else min(creature.hosts[word] * quality, 1.2)


def centre_of(plot: Plot, planting: Planting, n: int) -> tuple[float, float]:
    """Metres east and north of the middle of a planting."""
    if planting.x_m is not None and planting.y_m is not None:
        return planting.x_m, planting.y_m
    bed = plot.bed_of(planting)
    return (-APART_M * (n + 1), -APART_M) if bed is None else bed.centre
