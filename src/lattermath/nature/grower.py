"""The one who looks, treats and picks: misses small ones, prefers some leaves, misses visits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.nature.foliage import Foliage
from lattermath.nature.swarm import Swarm
from lattermath.vocabulary.class_ends import MOST_ON_ONE

FloatArray = NDArray[np.float64]

# Judgement: share of a stage on the leaf's surface that somebody sees who looks closely.
SEES = {
    "egg": 0.3, "nymph1": 0.35, "nymph2": 0.55, "nymph3": 0.75, "nymph4": 0.85,
    "larva": 0.5, "protonymph": 0.5, "deutonymph": 0.6, "pupa": 0.85, "adult": 0.75,
}  # fmt: skip
SEES_OTHERS = 0.6
SKILL_SD, TIRED_SD = 0.3, 0.2  # judgement: growers, and one grower's evenings; log
HEIGHT_SD = 0.6  # judgement: how far a grower's leaves are from any leaf
ROUNDS_FROM = 40  # judgement: above this on a leaf, counts are rounded to tens
SCALE_SD = 0.06  # judgement: kitchen scale and leaves in the basket, log


@dataclass(slots=True, eq=False)
class Grower:
    """skill: what is seen beside the usual; height: above 0, younger leaves come to hand."""

    skill: float
    height: float
    comes: float  # chance that a planned visit is kept

    def count(
        self, swarm: Swarm, place: int, foliage: Foliage, n: int, stages: NDArray[np.bool_],
        surface: str, rng: np.random.Generator,
    ) -> tuple[int, ...]:  # fmt: skip
        """Insects seen on each of `n` leaves of a planting.

        stages  : which stages are counted, (n_stages,).
        surface : underside, top or whole.
        """
        plant, leaf = foliage.some_leaves(n, self.height, rng)
        chance = self.sees(swarm, surface, rng) * stages
        here = np.flatnonzero(swarm.place == place)
        on = swarm.plant[here] * 1_000_000 + swarm.leaf[here]
        seen = rng.binomial(swarm.weight[here], chance[swarm.stage[here]])
        looked = plant * 1_000_000 + leaf
        order = np.argsort(looked)
        at = np.searchsorted(looked[order], on)
        hit = (at < len(looked)) & (looked[order][np.minimum(at, len(looked) - 1)] == on)
        counts = np.zeros(len(looked), dtype=np.int64)
        np.add.at(counts, order[at[hit]], seen[hit])
        return tuple(_as_written(int(c)) for c in counts)

    def sees(self, swarm: Swarm, surface: str, rng: np.random.Generator) -> FloatArray:
        """Chance that one insect on a leaf looked at is seen this evening, by stage."""
        creature = swarm.creature
        below = creature.below
        side = {"underside": below, "top": 1 - below}.get(surface, np.ones_like(below))
        usual = np.array([_sees(stage) for stage in creature.stages])
        evening = self.skill * np.exp(rng.normal(0, TIRED_SD))
        there = np.where(creature.shows > 0, creature.shows, side * creature.reach)
        return np.asarray(np.clip(usual * evening, 0, 0.97) * there)

    def weighs(self, kg: float, rng: np.random.Generator) -> float:
        """What the scale says of a picking. [kg]"""
        return round(float(kg * np.exp(rng.normal(0, SCALE_SD))), 2)

    def keeps_visit(self, rng: np.random.Generator) -> bool:
        """Whether a planned visit takes place."""
        return bool(rng.random() < self.comes)


def throw_grower(rng: np.random.Generator) -> Grower:
    """Throw a grower: eyes, habits and how often a visit falls out."""
    return Grower(
        float(np.exp(rng.normal(-0.05, SKILL_SD))),
        float(rng.normal(0.0, HEIGHT_SD)),
        float(rng.uniform(0.7, 0.95)),
    )


def _sees(stage: str) -> float:
    return next((v for word, v in SEES.items() if stage.startswith(word)), SEES_OTHERS)


def _as_written(count: int) -> int:
    """To tens where there are many; who sees more than can be counted writes the most there is."""
    return count if count < ROUNDS_FROM else min(round(count, -1), MOST_ON_ONE)
