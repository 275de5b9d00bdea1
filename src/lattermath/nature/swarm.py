"""Single insects of one kind on the whole plot: they develop, moult, die, fly and lay one by one.

Where numbers explode, one record stands for several insects (its weight, a power of two), so that
a season stays quick; deaths and births of such a parcel are still thrown, not averaged.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.nature.creatures import ADULT_LIFE_SHAPE, OWN_SPREAD, STAGE_SPREAD, Creature

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

MOST_RECORDS = 1500  # of one kind on one planting, before records are thinned
BASE_CLASSES = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])  # judgement: own lower thresholds differ [C]
COLUMNS = (
    "place", "plant", "leaf", "stage", "done", "own", "pace", "warmth", "female", "left", "weight",
)  # fmt: skip


@dataclass(slots=True, eq=False)
class Swarm:
    """Every record is one insect, or `weight` of them; arrays have one entry a record.

    place, plant, leaf : where it sits: planting, plant of it, leaf of that.
    stage  : stage it is in; the last is the adult.
    done   : share of its stage that it has done; of an adult, days lived at 25 C.
    own    : how quick it is for life, log.
    pace   : how quick it is in this stage, 1 is usual.
    warmth : class of its own lower threshold.
    left   : of an adult, the days at 25 C that it lives.
    """

    creature: Creature
    place: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    plant: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    leaf: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    stage: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    done: FloatArray = field(default_factory=lambda: np.zeros(0))
    own: FloatArray = field(default_factory=lambda: np.zeros(0))
    pace: FloatArray = field(default_factory=lambda: np.zeros(0))
    warmth: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    female: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, bool))
    left: FloatArray = field(default_factory=lambda: np.zeros(0))
    weight: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))

    @property
    def size(self) -> int:
        """Records."""
        return len(self.place)

    @property
    def adult(self) -> int:
        """Number of the adult stage."""
        return len(self.creature.shares)

    def totals(self, n_places: int) -> FloatArray:
        """Insects by planting and stage, (n_places, n_stages)."""
        key = self.place * (self.adult + 1) + self.stage
        n = n_places * (self.adult + 1)
        counted = np.bincount(key, weights=self.weight, minlength=n)
        return np.asarray(counted.reshape(n_places, self.adult + 1))

    def on_places(self, n_places: int) -> FloatArray:
        """Insects by planting, (n_places,)."""
        return np.asarray(np.bincount(self.place, weights=self.weight, minlength=n_places))

    def add(
        self,
        place: IntArray,
        plant: IntArray,
        leaf: IntArray,
        stage: IntArray,
        done: FloatArray,
        weight: IntArray,
        rng: np.random.Generator,
    ) -> None:
        """Add insects, each with a nature of its own."""
        n = len(place)
        own = rng.normal(0, OWN_SPREAD, n)
        new = {
            "place": place,
            "plant": plant,
            "leaf": leaf,
            "stage": stage,
            "done": done,
            "own": own,
            "pace": np.exp(own + rng.normal(0, STAGE_SPREAD, n)),
            "warmth": rng.integers(0, len(BASE_CLASSES), n),
            "female": rng.random(n) < self.creature.female,
            "left": self.lives(n, rng),
            "weight": weight,
        }
        for name in COLUMNS:
            setattr(self, name, np.concatenate([getattr(self, name), new[name]]))

    def lives(self, n: int, rng: np.random.Generator) -> FloatArray:
        """Lives of adults in days at 25 C, (n,). [d]"""
        mean = self.creature.adult_days
        return rng.gamma(ADULT_LIFE_SHAPE, mean / ADULT_LIFE_SHAPE, n)

    def keep(self, which: NDArray[np.bool_]) -> None:
        """Let the others go."""
        if which.all():
            return
        for name in COLUMNS:
            setattr(self, name, getattr(self, name)[which])

    def spare(self, chance: FloatArray, rng: np.random.Generator) -> None:
        """Each insect lives with its chance, (n_records,)."""
        if not self.size:
            return
        chance = np.clip(chance, 0.0, 1.0)
        single = self.weight == 1
        alive = np.where(single, rng.random(self.size) < chance, 0).astype(np.int64)
        many = np.flatnonzero(~single)
        alive[many] = rng.binomial(self.weight[many], chance[many])
        self.weight = alive
        self.keep(alive > 0)

    def develop(self, passed: FloatArray, rng: np.random.Generator) -> None:
        """Let a day's hours pass for every insect, and moult those that are through.

        passed : development by planting and class of own threshold, (n_places, n_classes). [1]
        """
        gained = passed[self.place, self.warmth]
        young = self.stage < self.adult
        share = self.creature.shares[np.minimum(self.stage, self.adult - 1)]
        usual = self.creature.usual_pace()
        self.done += np.where(young, gained * self.pace / share, gained / usual)
        while True:
            through = np.flatnonzero((self.stage < self.adult) & (self.done >= 1.0))
            if len(through) == 0:
                return
            self._moult(through, rng)

    def _moult(self, through: IntArray, rng: np.random.Generator) -> None:
        """The next stage begins with what time is left over, at a pace of its own."""
        stage, adult = self.stage[through], self.adult
        over = (self.done[through] - 1.0) * self.creature.shares[stage] / self.pace[through]
        pace = np.exp(self.own[through] + rng.normal(0, STAGE_SPREAD, len(through)))
        after = stage + 1
        share = self.creature.shares[np.minimum(after, adult - 1)]
        usual = self.creature.usual_pace()
        self.done[through] = np.where(after < adult, over * pace / share, over / usual)
        self.stage[through], self.pace[through] = after, pace

    def thin(self, n_places: int, rng: np.random.Generator) -> None:
        """Where a planting has more records than it may, half of them stand for twice as many."""
        counts = np.bincount(self.place, minlength=n_places)
        while (full := np.flatnonzero(counts > MOST_RECORDS)).size:
            crowded = np.isin(self.place, full)
            stays = ~crowded | (rng.random(self.size) < 0.5)
            self.weight = np.where(crowded, 2 * self.weight, self.weight)
            self.keep(stays)
            counts = np.bincount(self.place, minlength=n_places)
