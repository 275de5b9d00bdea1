"""Good and bad weeks: what chance makes of the kilograms that a planting should bring in a week."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

WEEK_SD = 0.4  # of one week of one planting, log scale; tuned on played seasons (decision 0020)
# Judgement: what one fruit weighs when it is picked, of beans and the like a handful. [kg]
FRUIT_KG = {
    "cucumber_pickling": 0.1, "cucumber": 0.3, "summer_squash": 0.35, "winter_squash": 1.5,
    "melon": 1.3, "tomato": 0.1, "eggplant": 0.25, "pepper": 0.15, "bean": 0.1,
    "runner_bean": 0.1, "okra": 0.1,
}  # fmt: skip


def fruit_kg(crop: str) -> float | None:
    """What one fruit weighs; None where leaves, heads or roots are cut. [kg]"""
    return next((kg for word, kg in FRUIT_KG.items() if crop.startswith(word)), None)


def weeks_by_chance(weekly: FloatArray, crop: str, rng: np.random.Generator) -> FloatArray:
    """What the weeks may bring, where each draw says what they should, same shape. [kg]

    weekly : expected, (n_draws, n_weeks). Means stay as they are. Fruit come whole, so a few
    plants of a big-fruited crop have weeks with none and weeks with three (Poisson).
    """
    good = np.exp(rng.normal(-(WEEK_SD**2) / 2, WEEK_SD, weekly.shape))
    one = fruit_kg(crop)
    if one is None:
        return np.asarray(weekly * good)
    fruit = rng.poisson(weekly * good / one).astype(np.float64)
    # fruit of one picking differ in weight by a fifth or so
    spread = np.sqrt(np.maximum(fruit, 1.0)) * 0.2
    return np.asarray(
        np.maximum(fruit + (fruit > 0) * rng.normal(0, 1, fruit.shape) * spread, 0) * one
    )
