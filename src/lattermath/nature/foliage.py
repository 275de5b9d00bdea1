"""The leaves of one planting, one by one: they unfold, grow and die; and what grows on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Judgement, all of it nature's own: leaves of a grown plant, area of one side of one [cm2], and
# days in high summer for which one leaf lives.
LEAVES = {
    "Cucurbitaceae": (26, 320.0, 45.0),
    "Fabaceae": (34, 110.0, 45.0),
    "Brassicaceae": (14, 420.0, 60.0),
    "tomato": (26, 170.0, 50.0),
    "eggplant": (28, 190.0, 50.0),
    "pepper": (55, 45.0, 55.0),
}
OTHER = (24, 180.0, 50.0)
COUNT_SD, SIZE_SD = 0.25, 0.2  # judgement: of a planting, log scale
PLANT_SD = 0.15  # judgement: of single plants, log scale
GROWS_ABOVE_C, SUMMER_C = 10.0, 23.0  # judgement: leaves unfold by the heat above this
YOUNG_SHARE = 0.35  # judgement: of its leaves a plant has when it is set out


@dataclass(slots=True, eq=False)
class Foliage:
    """Leaves of one planting; leaf n of a plant is the n-th that it unfolded.

    newest : number of the youngest leaf of each plant, as it grows, (n_plants,).
    oldest : number of the oldest that still hangs, (n_plants,).
    stands : plants that still stand, (n_plants,).
    """

    full: float
    leaf_cm2: float
    lives_days: float
    newest: FloatArray
    oldest: FloatArray
    vigour: FloatArray
    stands: NDArray[np.bool_]

    @property
    def counts(self) -> FloatArray:
        """Leaves on each plant, (n_plants,)."""
        return np.where(self.stands, np.floor(self.newest) - np.floor(self.oldest) + 1, 0.0)

    @property
    def total(self) -> float:
        """Leaves of the whole planting."""
        return float(self.counts.sum())

    @property
    def area_cm2(self) -> float:
        """One side of all leaves. [cm2]"""
        return self.total * self.leaf_cm2

    def grow(self, mean_c: float, moist: float) -> None:
        """One day: leaves unfold by the day's warmth, and the oldest fall. `moist` is 0 to 1."""
        warmth = max(mean_c - GROWS_ABOVE_C, 0.0) / (SUMMER_C - GROWS_ABOVE_C)
        self.newest += warmth * moist * self.vigour * self.full / self.lives_days
        most = self.full * self.vigour
        aged = warmth * self.full * self.vigour / self.lives_days
        hanging = self.newest - self.oldest
        self.oldest += np.where(hanging >= most, aged, 0.1 * aged)

    def strip(self, share: float) -> None:
        """Take the oldest leaves off, so that `share` of them are gone."""
        self.oldest += share * (self.newest - self.oldest)

    def hangs(self, plant: IntArray, leaf: IntArray) -> NDArray[np.bool_]:
        """Whether these leaves are still there."""
        there = (leaf >= np.floor(self.oldest)[plant]) & (leaf <= np.floor(self.newest)[plant])
        return np.asarray(there & self.stands[plant])

    def some_leaves(
        self, n: int, bias: float, rng: np.random.Generator
    ) -> tuple[IntArray, IntArray]:
        """Leaves of `n` looks, plant and number; no leaf twice while there are enough.

        bias : 0 takes any leaf; above 0 the younger ones come to hand sooner.
        """
        plants = np.flatnonzero(self.stands)
        counts = self.counts[plants].astype(np.int64)
        plant = np.repeat(plants, counts)
        start = np.floor(self.oldest).astype(np.int64)
        within = np.concatenate([np.arange(c) for c in counts]) if len(counts) else np.array([])
        number = start[plant] + within.astype(np.int64)
        if len(plant) == 0:
            return plant.astype(np.int64), number
        height = within / np.maximum(np.repeat(counts, counts) - 1, 1)
        weight = np.exp(bias * height)
        chosen = rng.choice(len(plant), size=min(n, len(plant)), replace=False,
                            p=weight / weight.sum())  # fmt: skip
        return plant[chosen].astype(np.int64), number[chosen]

    def leaf_near(self, plant: IntArray, favours: float, rng: np.random.Generator) -> IntArray:
        """A leaf for each insect that settles on a plant; `favours` 1 is the top, 0 the foot."""
        top = np.floor(self.newest)[plant]
        foot = np.floor(self.oldest)[plant]
        place = rng.beta(1 + 3 * favours, 1 + 3 * (1 - favours), len(plant))
        return np.asarray(np.rint(foot + place * (top - foot)), dtype=np.int64)


def throw_foliage(
    crop: str, family: str, plants: int, age_days: float, rng: np.random.Generator
) -> Foliage:
    """Throw the leaves of a planting that was set out `age_days` ago in summer weather."""
    word = next((w for w in LEAVES if crop.startswith(w)), family)
    usual, area, lives = LEAVES.get(word, OTHER)
    full = float(usual * np.exp(rng.normal(0, COUNT_SD)))
    vigour = np.exp(rng.normal(0, PLANT_SD, plants))
    share = np.clip(YOUNG_SHARE + age_days / lives, 0.1, 1.0)
    return Foliage(
        full,
        float(area * np.exp(rng.normal(0, SIZE_SD))),
        lives,
        share * full * vigour,
        np.zeros(plants),
        vigour,
        np.ones(plants, dtype=bool),
    )
