"""What is not known of a leaf disease: standard-normal numbers for each draw, and their meaning."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.cloud_law import Layout
from lattermath.belief.cluster_unknowns import NINE_IN_TEN, Dice, between
from lattermath.belief.leaf_covers import LeafApplication
from lattermath.belief.leaf_disease_sightings import LeafStand
from lattermath.belief.leaf_drift import EYE_SD
from lattermath.knowledge.diseases import Disease

FloatArray = NDArray[np.float64]

START = (3e-4, 1.5, 1.0)  # judgement: share of leaf ill then; median, shared and own sd (log)
ARRIVING = (1e-4, 1.0)  # judgement: new infection a day from outside, per bare leaf; median, sd
CROSSING = (0.02, 0.08, 0.20)  # judgement: spores of one surface that infect the other
SHARED = ("level", "rate", "latent", "crossing", "arriving")
OWN = ("level", "below")


@dataclass(frozen=True, slots=True, eq=False)
class LeafUnknowns:
    """The unknowns in plain units; the first axis is n_draws. See LeafPace."""

    start: FloatArray
    rate: FloatArray
    latent: FloatArray
    crossing: FloatArray
    arriving: FloatArray
    quantiles: Mapping[str, FloatArray]
    lean: FloatArray  # how wet the place is for its weather, -1 to 1; 0: plays no part
    eye: FloatArray  # how much more this grower says than there is, logit


@dataclass(frozen=True, slots=True)
class LeafNames:
    """The order of the unknowns of a disease in the vector."""

    disease: Disease
    stands: tuple[LeafStand, ...]
    methods: tuple[str, ...]

    @classmethod
    def of(
        cls,
        disease: Disease,
        stands: Sequence[LeafStand],
        methods: Sequence[str],
        done: Sequence[LeafApplication],
    ) -> LeafNames:
        """With the methods that may be used and those that were."""
        used = {*methods, *(one.effect.method for one in done)}
        return cls(disease, tuple(stands), tuple(sorted(used)))

    @property
    def all(self) -> list[str]:
        """Every unknown by name; each has a stream of dice of its own."""
        own = [f"{stand.key}|{word}" for word in OWN for stand in self.stands]
        efficacy = [f"efficacy|{m}" for m in self.methods]
        return [*SHARED, *own, *efficacy, "eye", *self._leaning]

    @property
    def layout(self) -> Layout:
        """Which places of the vector all plantings share, and which are each planting's own."""
        n = len(self.stands)
        own = len(SHARED) + np.arange(len(OWN) * n).reshape(len(OWN), n).T
        return Layout(np.setdiff1d(np.arange(len(self.all)), own), own)

    @property
    def _leaning(self) -> list[str]:
        """The wetness of the place is an unknown where wetness drives the disease."""
        return ["lean"] if self.disease.spread_by_wet_leaves else []

    def throw(self, dice: Dice, n: int) -> FloatArray:
        """Draws of the prior, (n, n_unknowns)."""
        streams = [dice(f"mildew|{self.disease.id}|{name}") for name in self.all]
        return np.stack([stream.standard_normal(n) for stream in streams], axis=1)

    def meaning(self, z: FloatArray) -> LeafUnknowns:
        """The vector in plain units."""
        n, disease = len(self.stands), self.disease
        rate, latent = disease.rate_per_day, disease.latent_days
        if rate is None or latent is None:
            raise ValueError(f"{disease.id}: the table has no rate or latent period")
        median, shared_sd, own_sd = START
        level = median * np.exp(shared_sd * z[:, :1] + own_sd * z[:, 5 : 5 + n])
        below = special.expit(1.5 * z[:, 5 + n : 5 + 2 * n])  # share of colonies on the undersides
        quantiles = special.ndtr(z[:, 5 + 2 * n :])
        lean = z[:, -1] / NINE_IN_TEN if self._leaning else np.zeros(len(z))
        return LeafUnknowns(
            np.clip(np.stack([2 * level * (1 - below), 2 * level * below], axis=-1), 0, 0.5),
            between(rate, z[:, 1]),
            np.maximum(between(latent, z[:, 2]), 1.0),
            np.interp(special.ndtr(z[:, 3]), (0.1, 0.5, 0.9), CROSSING),
            ARRIVING[0] * np.exp(ARRIVING[1] * z[:, 4]),
            {m: quantiles[:, k] for k, m in enumerate(self.methods)},
            np.clip(lean, -1.0, 1.0),
            EYE_SD * z[:, 5 + 2 * n + len(self.methods)],
        )
