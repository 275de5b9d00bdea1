"""Where a leaf disease can live on a plot, and a grower's sightings of it as evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.knowledge.crosswalk import Crosswalk
from lattermath.knowledge.diseases import Disease
from lattermath.science.leaf_disease import TOP, UNDERSIDE
from lattermath.vocabulary.class_ends import SEVERITY_LEVELS
from lattermath.vocabulary.events import Level, Sighting
from lattermath.vocabulary.plot import Planting, Plot

FloatArray = NDArray[np.float64]

ROOM_PER_PLANT_M2 = 0.8  # judgement: a cucurbit in full leaf
ROOM_M2 = {"tomato": 0.4, "eggplant": 0.4, "pepper": 0.3, "bean": 0.06, "basil": 0.04}  # judgement
LOOK_SD = 0.6  # judgement: error of a severity guessed by eye, on the logit scale
LEAF_ILL_AT = 0.02  # judgement: severity at which about two leaves in three carry a colony
GLANCE_LEAVES = 20


@dataclass(frozen=True, slots=True)
class LeafStand:
    """One planting as a host. `suits` is its susceptibility beside the worst host. [0 to 1]"""

    key: str
    name: str
    crop: str
    plants: int
    suits: float
    area_m2: float
    treatable: bool = True


@dataclass(frozen=True, slots=True)
class LeafSeen:
    """One sighting of the disease. `surface` is TOP, UNDERSIDE or None for both."""

    day: int
    place: int
    surface: int | None
    percent: float | None
    level: Level | None
    leaves: int
    serial: int

    @property
    def found_none(self) -> bool:
        """It was looked for, and nothing was there."""
        return self.level == "none" or self.percent == 0


def leaf_stands(plot: Plot, disease: Disease, crosswalk: Crosswalk) -> tuple[LeafStand, ...]:
    """Every planting of the plot that the disease can live on and that does not resist it."""
    hosts = {word: figure.value for word, figure in disease.hosts.items()}
    found = []
    for p in plot.plantings:
        word = crosswalk.host(p.crop, hosts)
        if p.pulled is not None or word is None or disease.id in p.resists:
            continue
        found.append(
            LeafStand(
                p.key,
                p.name,
                p.crop,
                p.plants,
                hosts[word],
                _ground(plot, p, word),
                not p.neighbours_plot,
            )
        )
    return tuple(found)


def _ground(plot: Plot, planting: Planting, word: str) -> float:
    """Ground that the plants cover, no more than their bed: a spray takes the same minutes there,
    whatever it is meant for. [m2]"""
    area, bed = planting.plants * ROOM_M2.get(word, ROOM_PER_PLANT_M2), plot.bed_of(planting)
    return area if bed is None else min(area, bed.area_m2)


def read_leaf_sighting(
    sighting: Sighting, day: int, serial: int, stands: Sequence[LeafStand]
) -> LeafSeen | None:
    """A sighting as evidence; None where it says nothing about these plantings."""
    place = next((n for n, s in enumerate(stands) if s.key == sighting.planting), None)
    if place is None or sighting.measure == "shake":
        return None
    if sighting.measure != "first seen" and sighting.percent is None and sighting.level is None:
        return None
    surface = {"top": TOP, "underside": UNDERSIDE}.get(sighting.surface)
    leaves = sighting.looked_at or GLANCE_LEAVES
    return LeafSeen(day, place, surface, sighting.percent, sighting.level, leaves, serial)


def true_severity(severity: FloatArray, one: LeafSeen) -> FloatArray:
    """Severity of the surface that was looked at, on that day, (n_draws,). [0 to 1]"""
    there = severity[:, one.place, one.day]
    true = there.mean(-1) if one.surface is None else there[:, one.surface]
    return np.asarray(np.clip(true, 1e-7, 1 - 1e-7))


def log_likelihood(severity: FloatArray, one: LeafSeen) -> FloatArray:
    """Log-probability of one sighting in every draw."""
    return likelihood_of(true_severity(severity, one), one)


def said_law(true: FloatArray, leaves: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Chance that any leaf of so many shows it, and middle and spread of what is then said.

    true : severity where is looked, any shape. [0 to 1]

    Middle and spread are on the logit scale. Few leaves carry a thin disease: who finds one says
    more than the planting has, and beside the error of the eye stands that of the sample.
    """
    ill = np.minimum(leaves * true / LEAF_ILL_AT, 30.0)  # leaves with a colony, while they are few
    found = -np.expm1(-np.maximum(ill, 1e-9))
    middle = special.logit(np.clip(true / found, 1e-7, 1 - 1e-7))
    return found, middle, np.sqrt(LOOK_SD**2 + 1 / (1 + ill))


def likelihood_of(true: FloatArray, one: LeafSeen) -> FloatArray:
    """Log-probability of one sighting where the severity looked at is so much, shaped as `true`."""
    found, middle, sd = said_law(true, one.leaves)
    if one.found_none:
        return np.asarray(np.log1p(-np.minimum(found, 1 - 1e-13)))
    if one.percent is not None:
        said = np.clip(one.percent / 100, 1e-4, 1 - 1e-4)
        off = (special.logit(said) - middle) / sd
        return np.asarray(np.log(found) - np.log(sd) - 0.5 * off**2)
    if one.level is not None:
        low, high = (special.logit(np.clip(b, 1e-7, 1 - 1e-7)) for b in SEVERITY_LEVELS[one.level])
        chance = found * (special.ndtr((high - middle) / sd) - special.ndtr((low - middle) / sd))
        return np.asarray(np.log(np.maximum(chance, 1e-12)))
    return np.asarray(np.log(found))
