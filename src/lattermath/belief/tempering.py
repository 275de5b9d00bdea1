"""Draws from what is known after looking, by tempering, resampling and Metropolis moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

FloatArray = NDArray[np.float64]

LEAST_EFFECTIVE = 0.5  # each step keeps the effective sample above this share
MOVES = 2  # Metropolis moves after each step (decision 0003: two or three)
MOST_STEPS = 30  # a likelihood that needs more is at odds with the model
USUAL_SCALE = 2.38  # random-walk scale over the root of the dimension (Roberts et al., memory)


# Log-likelihood of what was known before and of what is new, (n_particles, 2).
Fit = Callable[[FloatArray], FloatArray]
Move = Callable[
    [FloatArray, FloatArray, FloatArray, Fit, float, np.random.Generator],
    tuple[FloatArray, FloatArray, float],
]


@dataclass(frozen=True, slots=True)
class Sampled:
    """Particles of equal weight after all evidence.

    unknowns : standard-normal coordinates, (n_particles, n_unknowns).
    evidence : log of the probability of all that was seen, for weighing rival identities.
    accepted : share of moves taken.
    steps    : tempering steps.
    """

    unknowns: FloatArray
    evidence: float
    accepted: float
    steps: int


def unlearnt(start: FloatArray) -> Sampled:
    """Draws of the prior as they are, where nothing was seen that says anything."""
    return Sampled(start, 0.0, 1.0, 0)


def sample(
    start: FloatArray,
    log_likelihood: Callable[[FloatArray], FloatArray],
    rng: np.random.Generator,
    mover: Mover | None = None,
) -> Sampled:
    """Carry particles from the prior to the posterior, all evidence as one.

    start          : draws of the prior, standard normal, (n_particles, n_unknowns).
    log_likelihood : of all that was seen, (n_particles,).
    mover          : how particles move, `WALK` if not given; `CLOUD` reaches further where there
                     are many unknowns.
    """

    def at_once(unknowns: FloatArray) -> FloatArray:
        fresh = log_likelihood(unknowns)
        return np.column_stack([np.zeros_like(fresh), fresh])

    return learn_more(unlearnt(start), at_once, rng, mover)


def learn_more(
    known: Sampled, log_likelihood: Fit, rng: np.random.Generator, mover: Mover | None = None
) -> Sampled:
    """Carry particles on from what was known to what is known with something new.

    known          : particles after all that was seen before.
    log_likelihood : of what was seen before, and of what is new, (n_particles, 2).

    The new enters bit by bit, each bit small enough that half the sample still counts; then the
    particles are resampled and moved, so that they never collapse on a few.
    """
    unknowns, fit = known.unknowns, log_likelihood(known.unknowns)
    how = mover or WALK
    heat, evidence, taken, steps, stride = 0.0, known.evidence, [1.0], 0, how.first
    while heat < 1.0 and steps < MOST_STEPS:
        gain = _largest_step(fit[:, 1], 1.0 - heat) if steps < MOST_STEPS - 1 else 1.0 - heat
        weight = gain * fit[:, 1]
        evidence += float(np.logaddexp.reduce(weight) - np.log(len(weight)))
        keep = systematic(weight, rng)
        unknowns, fit, heat = unknowns[keep], fit[keep], heat + gain
        counts = np.array([1.0, heat])
        for _ in range(MOVES):
            unknowns, fit, share = how.move(unknowns, fit, counts, log_likelihood, stride, rng)
            stride *= float(np.exp(np.clip(share - how.wanted, -0.2, 0.4)))
            stride = min(stride, how.most)
            taken.append(share)
        steps += 1
    accepted = float(np.mean(taken[1:] or [1.0]))
    return Sampled(unknowns, evidence, accepted, known.steps + steps)


def systematic(log_weight: FloatArray, rng: np.random.Generator) -> NDArray[np.intp]:
    """Systematic resampling: which particles go on, in order."""
    weight = np.exp(log_weight - log_weight.max())
    edges = np.cumsum(weight / weight.sum())
    places = (np.arange(len(weight)) + rng.uniform()) / len(weight)
    return np.minimum(np.searchsorted(edges, places), len(weight) - 1)


def effective(log_weight: FloatArray) -> float:
    """Effective sample size of these weights."""
    weight = np.exp(log_weight - log_weight.max())
    return float(weight.sum() ** 2 / (weight**2).sum())


def _largest_step(fit: FloatArray, left: float) -> float:
    """The most evidence that keeps the effective sample above one half."""
    wanted = LEAST_EFFECTIVE * len(fit)
    if effective(left * fit) >= wanted:
        return left
    low, high = 0.0, left
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if effective(middle * fit) >= wanted else (low, middle)
    return max(low, 1e-6)


def walk(
    unknowns: FloatArray,
    fit: FloatArray,
    counts: FloatArray,
    log_likelihood: Fit,
    stride: float,
    rng: np.random.Generator,
) -> tuple[FloatArray, FloatArray, float]:
    """One random-walk Metropolis move of every particle, shaped like the cloud of them.

    counts : how far each of the two parts of `fit` counts, (2,). [0 to 1]
    stride : of the walk, beside the one usual for so many unknowns.
    """
    n, d = unknowns.shape
    spread = np.atleast_2d(np.cov(unknowns.T)) + 1e-6 * np.eye(d)
    steps = rng.standard_normal((n, d)) @ np.linalg.cholesky(spread).T
    tried = unknowns + stride * USUAL_SCALE / np.sqrt(d) * steps
    tried_fit = log_likelihood(tried)
    gain = (tried_fit - fit) @ counts + ((unknowns**2).sum(1) - (tried**2).sum(1)) / 2
    take = np.log(rng.uniform(size=n)) < gain
    moved = np.where(take[:, None], tried, unknowns)
    return moved, np.where(take[:, None], tried_fit, fit), float(take.mean())


def within_cloud(
    unknowns: FloatArray,
    fit: FloatArray,
    counts: FloatArray,
    log_likelihood: Fit,
    stride: float,
    rng: np.random.Generator,
) -> tuple[FloatArray, FloatArray, float]:
    """One Metropolis move of every particle within the normal law of the cloud of them.

    counts : how far each of the two parts of `fit` counts, (2,). [0 to 1]
    stride : share of the cloud's width that is thrown anew, 0 to 1; a particle keeps the root of
             1 - stride^2 of its way from the middle. Unlike a random walk this leaves the cloud's
             own law as it is, so that unknowns of which little is known move far at no cost,
             however many there are (Neal 1998 and Cotter et al. 2013, memory; there the prior takes
             the place of the cloud).
    """
    n, d = unknowns.shape
    middle = unknowns.mean(0)
    spread = np.atleast_2d(np.cov(unknowns.T)) + 1e-6 * np.eye(d)
    root = np.asarray(np.linalg.cholesky(spread), dtype=np.float64)
    normal, stays = rng.standard_normal((n, d)), np.sqrt(1 - stride**2)
    tried: FloatArray = middle + stays * (unknowns - middle) + stride * (normal @ root.T)
    tried_fit = log_likelihood(tried)
    # In widths of the cloud a particle is `normal` once thrown, so that one of them is solved for.
    held = linalg.solve_triangular(root, (unknowns - middle).T, lower=True, check_finite=False).T
    aside, tried_aside = (held**2).sum(1), ((stays * held + stride * normal) ** 2).sum(1)
    prior = ((unknowns**2).sum(1) - (tried**2).sum(1)) / 2
    gain = (tried_fit - fit) @ counts + prior + (tried_aside - aside) / 2
    take = np.log(rng.uniform(size=n)) < gain
    moved = np.where(take[:, None], tried, unknowns)
    return moved, np.where(take[:, None], tried_fit, fit), float(take.mean())


@dataclass(frozen=True, slots=True)
class Mover:
    """A move, the stride it begins with, its longest, and the share of moves to be taken."""

    move: Move
    first: float
    most: float
    wanted: float  # judgement, both


WALK = Mover(walk, 1.0, np.inf, 0.25)
CLOUD = Mover(within_cloud, 0.5, 0.95, 0.3)
