"""What is not known of a cluster: standard-normal numbers for each draw, and their meaning."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.cloud_law import Layout
from lattermath.belief.cluster_plantings import Stand
from lattermath.vocabulary.figure import Figure

FloatArray = NDArray[np.float64]
Dice = Callable[[str], np.random.Generator]

# Judgement: insects of all stages on a plant of the best host some weeks before the first
# sighting, and adults that fly in per plant and day. Log-normal: median (where the table of habits
# gives none), sd shared by the plot, sd of a planting's own.
START = (2.0, 1.8, 1.2)
ARRIVALS = (0.02, 1.2, 0.7)
DETECTION_SD = 0.4  # judgement: how growers differ in what they see, log scale
NINE_IN_TEN = 1.2816
# What takes adults outdoors beside age: enemies, weather, flights that end where there is no host.
# As a hazard beside that of age in the laboratory: median and sd, log scale. Judgement: adults live
# half of their laboratory life outdoors, 0.26 to 0.74 of it in eight cases of ten (decision 0040).
ADULTS_LOST = (1.0, 0.8)
# How readily adults cross from planting to planting, beside an unbroken crop, where the distances
# of Noldus et al. were found: median and sd, log scale. Judgement: bare paths and other kinds of
# plant hold two of three back, and nobody knows it within ten times (eight cases of ten). In a
# house of tomatoes 2,270 puparia sat on 137 plants of 18,144 (martin1991, abstract).
CROSSES = (0.33, 0.9)
MOST_CROSSES = 1.25
# Eggs of one mother beside the table's. Derived: between laboratories and strains lifetime eggs of
# the greenhouse whitefly on one host lie 132 to 211 (cucumber) and 18 to 100 (tomato) apart, as
# 10th and 90th percentile 0.18 and 0.67; the geometric middle, for every organism (judgement).
LAYING_SD = 0.35
SHARED = ("level", "arrivals", "field", "detection", "adults", "laying", "crosses")
OWN = ("level", "settled", "arrivals", "host")


@dataclass(frozen=True, slots=True, eq=False)
class Unknowns:
    """The unknowns in plain units; the first axis is n_draws.

    suits     : eggs that live on each planting as a share of the table's best host's,
                (n_draws, n_plantings).
    level     : insects a plant at the start, (n_draws, n_plantings).
    settled   : share of them of all ages, the rest adults lately come, (n_draws, n_plantings).
    arrivals  : adults a day from outside, (n_draws, n_plantings). [1/d]
    field     : survival outdoors as a share of that without enemies, (n_draws,).
    detection : what this grower sees beside the usual, (n_draws,).
    adults    : hazard of adults outdoors beside that of age, (n_draws,).
    laying    : eggs of a mother beside the table's, (n_draws,).
    crosses   : adults that cross to other plantings beside those of an unbroken crop, (n_draws,).
    quantiles : how good each method proves to be, (n_draws,) each. [0 to 1]
    """

    suits: FloatArray
    level: FloatArray
    settled: FloatArray
    arrivals: FloatArray
    field: FloatArray
    detection: FloatArray
    adults: FloatArray
    laying: FloatArray
    crosses: FloatArray
    quantiles: Mapping[str, FloatArray]


@dataclass(frozen=True, slots=True)
class Names:
    """The order of the unknowns in the vector."""

    organism: str
    stands: tuple[Stand, ...]
    methods: tuple[str, ...]
    start: float = START[0]
    arrivals: float = ARRIVALS[0]

    @property
    def all(self) -> list[str]:
        """Every unknown by name; a stream of dice each, so that one more reshuffles none."""
        own = [f"{stand.key}|{word}" for stand in self.stands for word in OWN]
        return [*SHARED, *own, *(f"efficacy|{m}" for m in self.methods)]

    @property
    def layout(self) -> Layout:
        """Which places of the vector all plantings share, and which are each planting's own."""
        n_own = len(OWN) * len(self.stands)
        own = len(SHARED) + np.arange(n_own).reshape(len(self.stands), len(OWN))
        shared = np.setdiff1d(np.arange(len(self.all)), own)
        return Layout(shared, own)

    def throw(self, dice: Dice, n: int) -> FloatArray:
        """Draws of the prior, (n, n_unknowns)."""
        streams = [dice(f"cluster|{self.organism}|{name}") for name in self.all]
        return np.stack([stream.standard_normal(n) for stream in streams], axis=1)

    def meaning(self, z: FloatArray, field: Figure) -> Unknowns:
        """The vector in plain units.

        field : the table's survival outdoors, with its low and high ends.
        """
        level, arrivals, outdoors, detection = (z[:, n, None] for n in range(4))
        n_own = len(OWN) * len(self.stands)
        own = z[:, len(SHARED) : len(SHARED) + n_own].reshape(len(z), len(self.stands), len(OWN))
        table = np.array([stand.laying for stand in self.stands])
        doubt = np.array([stand.doubt for stand in self.stands])
        suits = table * np.exp(doubt * own[..., 3])
        plants = np.array([stand.plants for stand in self.stands])
        efficacy = special.ndtr(z[:, len(SHARED) + n_own :])
        full = np.array([stand.room / max(stand.plants, 1) for stand in self.stands])
        return Unknowns(
            suits=suits,
            level=np.minimum(
                _log_normal((self.start, *START[1:]), level, own[..., 0]) * suits, full
            ),
            settled=special.expit(1.5 * own[..., 1]),
            arrivals=_log_normal((self.arrivals, *ARRIVALS[1:]), arrivals, own[..., 2])
            * suits
            * plants,
            field=np.minimum(between(field, outdoors[:, 0]), 1.0),
            detection=np.exp(DETECTION_SD * detection[:, 0]),
            adults=ADULTS_LOST[0] * np.exp(ADULTS_LOST[1] * z[:, 4]),
            laying=np.exp(LAYING_SD * z[:, 5]),
            crosses=np.minimum(CROSSES[0] * np.exp(CROSSES[1] * z[:, 6]), MOST_CROSSES),
            quantiles={m: efficacy[:, n] for n, m in enumerate(self.methods)},
        )


def _log_normal(
    figures: tuple[float, float, float], shared: FloatArray, own: FloatArray
) -> FloatArray:
    median, shared_sd, own_sd = figures
    return np.asarray(median * np.exp(shared_sd * shared + own_sd * own))


def between(figure: Figure, z: FloatArray) -> FloatArray:
    """A figure whose low and high are its 10th and 90th percentile, log scale."""
    low, high = figure.span
    below = np.log(figure.value / low) / NINE_IN_TEN
    above = np.log(high / figure.value) / NINE_IN_TEN
    scale = np.where(z < 0, below, above)
    return np.asarray(figure.value * np.exp(z * scale))
