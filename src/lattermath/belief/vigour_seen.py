"""What one word on how a planting looks says: age explains some of it, and words can be wrong."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_growth import CropUnknowns, Draws
from lattermath.belief.crop_traits import CropTraits
from lattermath.science.harvest_curve import worn_share
from lattermath.science.plant_recovery import CONDITIONS

Likely = NDArray[np.float64]  # (n_draws, n_words)

WORDS = tuple(CONDITIONS)  # the best first
# Judgement: of a hundred plantings of which nothing is known, how many are so for another cause
# than their age (roots, water, feeding, what was not seen).
BEFORE = np.array([0.80, 0.12, 0.06, 0.02])
# Judgement: how often whoever walks by says the right word, one beside it, two, three off. So a
# sound planting is called tired about one time in eight.
BY_STEPS = np.array([0.80, 0.12, 0.02, 0.005])
# What looks like a word lies nearer to its usual share than to the next word's (ratios).
_USUAL = np.array([CONDITIONS[word].bears for word in WORDS])
BOUNDS = np.sqrt(_USUAL[:-1] * _USUAL[1:])


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What a word says of some draws of a planting.

    condition : place in `WORDS` of what ails each beyond its age, (n_draws,).
    weight    : log of how likely each made the word, (n_draws,).
    """

    condition: NDArray[np.intp]
    weight: Draws


def seen_as(
    word: str, traits: CropTraits, unknowns: CropUnknowns, age: Draws, rng: np.random.Generator
) -> Seen:
    """What ails each draw whose planting was called that, and how likely the draw made the word.

    age : picking age of each draw when it was said, (n_draws,). [d]

    Each condition is as likely as it was before anyone looked, times how likely it, with the wear
    of that age, makes the word.
    """
    share = worn_looks(traits, unknowns, age, rng)
    joint = BEFORE * _said(word, share[:, None] * _USUAL)
    total = joint.sum(axis=1)
    steps = np.cumsum(joint, axis=1) / total[:, None]
    condition = (rng.random(len(age))[:, None] > steps).sum(axis=1)
    return Seen(np.minimum(condition, len(WORDS) - 1), np.log(total))


def worn_looks(
    traits: CropTraits, unknowns: CropUnknowns, age: Draws, rng: np.random.Generator
) -> Draws:
    """How much of its best a planting of that age seems to give, 1 until its peak, (n_draws,).

    Wear shows in what flowers before it shows in what is picked: some judge by the one, some by
    the other, and the age judged lies evenly between (judgement).
    """
    lag = 0.0 if traits.fruit_heat is None else sum(traits.fruit_heat) / 2 / traits.picking_heat
    judged = age + lag * rng.random(len(age))
    return worn_share(judged, unknowns.peak_days, unknowns.end_days)


def said(share: NDArray[np.float64]) -> Likely:
    """How likely each word is of a planting that gives that share of its best, (..., n_words)."""
    true = (np.asarray(share)[..., None] < BOUNDS).sum(axis=-1)
    apart = np.abs(np.arange(len(WORDS)) - np.arange(len(WORDS))[:, None])
    table = BY_STEPS[apart]
    return np.asarray((table / table.sum(axis=1, keepdims=True))[true])


def _said(word: str, share: NDArray[np.float64]) -> NDArray[np.float64]:
    return said(share)[..., WORDS.index(word)]
