"""Powdery mildew as colonies on single leaves, those of the upper and under surface apart."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.methods import Method
from lattermath.knowledge.tables import Tables
from lattermath.nature.foliage import Foliage
from lattermath.vocabulary.errors import Fault, InputError

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Judgement: a colony widens by this much a day at the best temperature [cm], to this radius [cm].
WIDENS_CM, WIDEST_CM = 0.15, 1.4
SPORES_A_CM2 = 0.4  # judgement: new colonies a day that a square centimetre of old ones makes
NEAR_SHARE = 0.6  # judgement: share of those that stay on the planting
FROM_OUTSIDE = 0.006  # judgement: colonies a leaf and day that blow in, once it is about
ABOUT_FROM = (185, 20.0)  # day of the year from which it is about, and its spread (judgement)
BELOW_SHARE = 0.45  # judgement: share of spores that land on the underside of a leaf
MOST_ON_LEAF = 60  # colonies on one side of a leaf; more of them would only overlap
RATE_SD, RESISTS_SD = 0.3, 0.4  # judgement: of the season, and of varieties; log
WIDTH_C = 6.5  # judgement: how fast the response falls about the best temperature
SEES_SD, SEES_BELOW = 0.35, 0.7  # judgement: eyes of growers, log; and how much less below


@dataclass(slots=True, eq=False)
class Mildew:
    """Colonies of one mildew; arrays have one entry a colony.

    suits  : of each planting, (n_places,). [0 to 1]
    latent : share of the latent time that has passed; it is seen, and spreads, from 1 on.
    radius : cm.
    """

    disease: str
    suits: FloatArray
    best_c: float
    stop_c: float
    latent_days: float
    rate: float
    about_from: float
    place: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    plant: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    leaf: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    below: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, bool))
    latent: FloatArray = field(default_factory=lambda: np.zeros(0))
    radius: FloatArray = field(default_factory=lambda: np.zeros(0))

    def one_more(self, tables: Tables, crop: str, rng: np.random.Generator) -> None:
        """A planting more, of this crop and a resistance of its own."""
        self.suits = np.append(self.suits, _suits(tables, self.disease, [crop], rng))

    def response(self, hours_c: FloatArray) -> float:
        """How well it thrives over these hours, 1 at the best temperature. [0 to 1]"""
        bell = np.exp(-0.5 * ((hours_c - self.best_c) / WIDTH_C) ** 2)
        return float(np.where(hours_c < self.stop_c, bell, 0.0).mean())

    def live_a_day(
        self,
        foliage: list[Foliage],
        hours_c: FloatArray,
        of_year: int,
        rng: np.random.Generator,
    ) -> None:
        """Leaves fall with what is on them, colonies widen, and spores make new ones."""
        self._keep(self._hanging(foliage))
        thrives = self.response(hours_c)
        ripe = self.latent >= 1.0
        grown = self.radius + WIDENS_CM * thrives * ripe
        self.radius = np.minimum(grown, WIDEST_CM)
        self.latent = self.latent + np.sqrt(thrives) / self.latent_days
        area = np.bincount(self.place, np.pi * self.radius**2 * ripe, len(foliage))
        leaves = np.array([f.total for f in foliage])
        share = leaves / max(leaves.sum(), 1.0)
        made = SPORES_A_CM2 * self.rate * area
        landed = NEAR_SHARE * made + (1 - NEAR_SHARE) * made.sum() * share
        if of_year >= self.about_from:
            landed = landed + FROM_OUTSIDE * leaves
        new = rng.poisson(landed * thrives * self.suits * (leaves > 0))
        for place in np.flatnonzero(new):
            self._infect(int(place), int(new[place]), foliage[place], rng)

    def severity(self, foliage: list[Foliage]) -> FloatArray:
        """Share of the leaf covered by colonies that show, (n_places, 2): below, above. [0 to 1]"""
        found = np.zeros((len(foliage), 2))
        for place, leaves in enumerate(foliage):
            if leaves.total > 0:
                for side, below in enumerate((True, False)):
                    covered = self.on_leaves(place, leaves, below=below)[1]
                    found[place, side] = covered.sum() / leaves.total
        return found

    def on_leaves(self, place: int, leaves: Foliage, *, below: bool) -> tuple[IntArray, FloatArray]:
        """Leaves with colonies that show, as one number each, and the share covered on that side.

        Colonies overlap as they would at random: 1 - exp(-area / leaf).
        """
        here = (self.place == place) & (self.below == below) & (self.latent >= 1.0)
        which, at = np.unique(self.plant[here] * 100_000 + self.leaf[here], return_inverse=True)
        area = np.bincount(at, np.pi * self.radius[here] ** 2, len(which))
        return which, np.asarray(1 - np.exp(-area / leaves.leaf_cm2))

    def look(
        self, place: int, leaves: Foliage, n: int, surface: str, skill: float,
        rng: np.random.Generator,
    ) -> float | None:  # fmt: skip
        """Percent of the leaf that a grower says is covered; None where no leaf hangs."""
        plant, leaf = leaves.some_leaves(n, 0.0, rng)
        if not len(plant):
            return None
        which, covered = self.on_leaves(place, leaves, below=surface == "underside")
        looked = plant * 100_000 + leaf
        mean = covered[np.isin(which, looked)].sum() / len(looked)
        side = SEES_BELOW if surface == "underside" else 1.0
        said = 100 * mean * side * skill * np.exp(rng.normal(0, SEES_SD))
        return float(min(np.round(said, 0 if said >= 3 else 1), 100.0))

    def treat(
        self,
        places: tuple[int, ...],
        power: float,
        surfaces: Collection[str],
        coverage: float,
        rng: np.random.Generator,
    ) -> None:
        """Kill colonies on the surfaces wetted, each with its chance."""
        whole = "whole" in surfaces
        wetted = np.where(self.below, whole or "underside" in surfaces, whole or "top" in surfaces)
        here = np.isin(self.place, places) & wetted
        killed = rng.random(len(self.place)) < power * coverage
        self._keep(~(here & killed))

    def _infect(self, place: int, n: int, leaves: Foliage, rng: np.random.Generator) -> None:
        """New colonies on any leaf; full leaves take no more."""
        plants = np.flatnonzero(leaves.stands)
        weight = leaves.counts[plants]
        plant = rng.choice(plants, n, p=weight / weight.sum())
        leaf = leaves.leaf_near(plant, 0.35, rng)
        below = rng.random(n) < BELOW_SHARE
        old = self.place == place
        key = self.plant[old] * 200_000 + self.leaf[old] * 2 + self.below[old]
        counts = dict(zip(*np.unique(key, return_counts=True), strict=True))
        own = plant * 200_000 + leaf * 2 + below
        free = np.array([counts.get(k, 0) < MOST_ON_LEAF for k in own])
        new = {
            "place": np.full(n, place),
            "plant": plant,
            "leaf": leaf,
            "below": below,
            "latent": rng.normal(0, 0.1, n),
            "radius": np.full(n, 0.05),
        }
        for name, values in new.items():
            setattr(self, name, np.concatenate([getattr(self, name), values[free]]))

    def _hanging(self, foliage: list[Foliage]) -> NDArray[np.bool_]:
        there = np.zeros(len(self.place), dtype=bool)
        for place in np.unique(self.place):
            here = self.place == place
            there[here] = foliage[place].hangs(self.plant[here], self.leaf[here])
        return there

    def _keep(self, which: NDArray[np.bool_]) -> None:
        for name in ("place", "plant", "leaf", "below", "latent", "radius"):
            setattr(self, name, getattr(self, name)[which])


def throw_mildew(
    tables: Tables, disease: str, crops: list[str], rng: np.random.Generator
) -> Mildew:
    """Throw how a mildew lives here this year. InputError for a disease without its figures."""
    held = tables.diseases.get(disease)
    best = None if held is None else held.row.find("temp_opt_c")
    latent = None if held is None else held.row.find("latent_days")
    if held is None or best is None or latent is None:
        raise InputError(Fault("no mildew of that name with figures", "disease", disease))
    stop = held.row.find("temp_stop_c")
    about, spread = ABOUT_FROM
    return Mildew(
        disease,
        _suits(tables, disease, crops, rng),
        float(rng.uniform(*best.span)),
        38.0 if stop is None else stop.value,
        float(rng.uniform(*latent.span)),
        float(np.exp(rng.normal(0, RATE_SD))),
        float(rng.normal(about, spread)),
    )


def _suits(tables: Tables, disease: str, crops: list[str], rng: np.random.Generator) -> FloatArray:
    """How well plantings suit it: the table's word for the host, and what varieties resist."""
    hosts = {word: f.value for word, f in tables.diseases[disease].row.under("hosts").items()}
    words = [tables.crosswalk.host(crop, hosts) for crop in crops]
    usual = np.array([0.0 if word is None else hosts[word] for word in words])
    return np.asarray(usual * np.exp(rng.normal(0, RESISTS_SD, len(crops))))


def power_of(method: Method, words: tuple[str, ...], rng: np.random.Generator) -> float:
    """Share of colonies that a method kills where it wets, at a place of its rows' ranges."""
    rows = method.against(words)
    if not rows:
        return 0.0
    place = rng.random()
    spans = [
        np.interp(place, (0.05, 0.5, 0.95), (r.percent.span[0], r.percent.value, r.percent.span[1]))
        for r in rows
    ]
    return float(np.clip(np.mean(spans) / 100, 0.0, 0.98))
