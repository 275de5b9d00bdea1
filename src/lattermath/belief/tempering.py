"""Draws from what is known after looking, by tempering, resampling and Metropolis moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

LEAST_EFFECTIVE = 0.5  # each step keeps the effective sample above this share
MOVES = 2  # Metropolis moves after each step (decision 0003: two or three)
MOST_STEPS = 30  # a likelihood that needs more is at odds with the model
USUAL_SCALE = 2.38  # random-walk scale over the root of the dimension (Roberts et al., memory)


@dataclass(frozen=True, slots=True)
class Sampled:
    """Particles of equal weight after all evidence.

    unknowns       : standard-normal coordinates, (n_particles, n_unknowns).
    log_likelihood : of each, (n_particles,).
    evidence       : log of the probability of all that was seen, for weighing rival identities.
    accepted       : share of moves taken.
    steps          : tempering steps.
    """

    unknowns: FloatArray
    log_likelihood: FloatArray
    evidence: float
    accepted: float
    steps: int


def sample(
    start: FloatArray,
    log_likelihood: Callable[[FloatArray], FloatArray],
    rng: np.random.Generator,
) -> Sampled:
    """Carry particles from the prior to the posterior.

    start : draws of the prior, standard normal in every unknown, (n_particles, n_unknowns).

    Evidence enters bit by bit, each bit small enough that half the sample still counts; then the
    particles are resampled and moved, so that they never collapse on a few.
    """
    unknowns, fit = start, log_likelihood(start)
    heat, evidence, taken, steps, scale = 0.0, 0.0, [1.0], 0, 1.0
    while heat < 1.0 and steps < MOST_STEPS:
        gain = _largest_step(fit, 1.0 - heat) if steps < MOST_STEPS - 1 else 1.0 - heat
        weight = gain * fit
        evidence += float(np.logaddexp.reduce(weight) - np.log(len(weight)))
        keep = systematic(weight, rng)
        unknowns, fit, heat = unknowns[keep], fit[keep], heat + gain
        for _ in range(MOVES):
            unknowns, fit, share = _move(unknowns, fit, heat, log_likelihood, scale, rng)
            scale *= float(np.exp(np.clip(share - 0.25, -0.2, 0.4)))
            taken.append(share)
        steps += 1
    return Sampled(unknowns, fit, evidence, float(np.mean(taken[1:] or [1.0])), steps)


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


def _move(
    unknowns: FloatArray,
    fit: FloatArray,
    heat: float,
    log_likelihood: Callable[[FloatArray], FloatArray],
    scale: float,
    rng: np.random.Generator,
) -> tuple[FloatArray, FloatArray, float]:
    """One random-walk Metropolis move of every particle, shaped like the cloud of them."""
    n, d = unknowns.shape
    spread = np.atleast_2d(np.cov(unknowns.T)) + 1e-6 * np.eye(d)
    steps = rng.standard_normal((n, d)) @ np.linalg.cholesky(spread).T
    tried = unknowns + scale * USUAL_SCALE / np.sqrt(d) * steps
    tried_fit = log_likelihood(tried)
    gain = heat * (tried_fit - fit) + ((unknowns**2).sum(1) - (tried**2).sum(1)) / 2
    take = np.log(rng.uniform(size=n)) < gain
    moved = np.where(take[:, None], tried, unknowns)
    return moved, np.where(take, tried_fit, fit), float(take.mean())
