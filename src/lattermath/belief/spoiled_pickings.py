"""How much of the coming pickings insects will have soiled."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.organisms import Spoils
from lattermath.science.insect_damage import lately, spoiled_share
from lattermath.vocabulary.figure import Figure

FloatArray = NDArray[np.float64]

# Judgement: days before a picking in which a piece can be soiled: leaves and fruit of a plant that
# is picked over hang about three weeks, pods two; a head stands open for a month.
ON_THE_PLANT_D = {"leaves": 21, "heads": 30, "sprouts": 30, "fruit": 21, "pods": 14}
GOLDEN = 0.6180339887498949  # its multiples, less whole numbers, fill 0 to 1 evenly in any order
TENTH = 1.2815515655446004  # standard deviations from the middle to the 90th percentile


def soiled_and_thrown(
    fed: FloatArray, picked: FloatArray, eaten: str, spoils: Spoils
) -> tuple[FloatArray, FloatArray]:
    """Shares of what is picked that are soiled, and to be thrown away, by draw. [0 to 1]

    fed    : feeding days on a square centimetre of leaf by day, those behind us first,
             (n_draws, n_past + n_days). [d/cm2]
    picked : worth of what each day from today on gives, (n_draws, n_days); draws that give nothing
             are left out of the answer.
    eaten  : part that is eaten, of `ON_THE_PLANT_D`.
    """
    gives = picked.sum(1) > 0
    recent = lately(fed, ON_THE_PLANT_D[eaten])[gives, -picked.shape[1] :]
    of_day = picked[gives] / picked[gives].sum(1, keepdims=True)
    soils = in_draws(spoils.soils, len(picked))[gives, None]
    soiled = (spoiled_share(recent, soils) * of_day).sum(1)
    if spoils.discards is None:
        return soiled, np.zeros_like(soiled)
    discards = in_draws(spoils.discards, len(picked))[gives, None]
    thrown = (spoiled_share(recent, discards) * of_day).sum(1)
    return soiled, np.asarray(np.minimum(thrown, soiled))


def in_draws(figure: Figure, n_draws: int) -> FloatArray:
    """A figure with its doubt as draws, its ends their 10th and 90th percentiles, (n_draws,).

    On a log scale, each side by its own spread; in the same order for every figure, so that
    produce that soils easily in a draw is thrown away easily in it too.
    """
    middle = np.log(figure.value)
    low = middle if figure.low is None else np.log(figure.low)
    high = middle if figure.high is None else np.log(figure.high)
    places = (np.arange(1, n_draws + 1) * GOLDEN) % 1.0
    away = np.array([NormalDist().inv_cdf(place) for place in places]) / TENTH
    return np.asarray(np.exp(middle + away * np.where(away > 0, high - middle, middle - low)))
