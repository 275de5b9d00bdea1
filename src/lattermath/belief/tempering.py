"""Draws from what is known after looking, by tempering, resampling and Metropolis moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cloud_law import Layout, law_of

FloatArray = NDArray[np.float64]

LEAST_EFFECTIVE = 0.5  # each step keeps the effective sample above this share
MOVES = 2  # Metropolis moves after each step (decision 0003: two or three)
MOST_STEPS = 30  # a likelihood that needs more is at odds with the model
FIRST_STRIDE, LONGEST_STRIDE = 0.5, 0.95
WANTED = 0.3  # judgement: share of moves to be taken, by which the stride is set


# Log-likelihood of what was known before and of what is new, (n_particles, 2).
Fit = Callable[[FloatArray], FloatArray]


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
    layout: Layout | None = None,
) -> Sampled:
    """Carry particles from the prior to the posterior, all evidence as one.

    start          : draws of the prior, standard normal, (n_particles, n_unknowns).
    log_likelihood : of all that was seen, (n_particles,).
    layout         : which unknowns are shared; all, if not given.
    """

    def at_once(unknowns: FloatArray) -> FloatArray:
        fresh = log_likelihood(unknowns)
        return np.column_stack([np.zeros_like(fresh), fresh])

    return learn_more(unlearnt(start), at_once, rng, layout)


def learn_more(
    known: Sampled, log_likelihood: Fit, rng: np.random.Generator, layout: Layout | None = None
) -> Sampled:
    """Carry particles on from what was known to what is known with something new.

    known          : particles after all that was seen before.
    log_likelihood : of what was seen before, and of what is new, (n_particles, 2).
    layout         : which unknowns are shared; all, if not given.

    The new enters bit by bit, each bit small enough that half the sample still counts; then the
    particles are resampled and moved, so that they never collapse on a few.
    """
    unknowns, fit = known.unknowns, log_likelihood(known.unknowns)
    parts = layout or Layout.all_shared(unknowns.shape[1])
    heat, evidence, taken, steps, stride = 0.0, known.evidence, [1.0], 0, FIRST_STRIDE
    while heat < 1.0 and steps < MOST_STEPS:
        gain = _largest_step(fit[:, 1], 1.0 - heat) if steps < MOST_STEPS - 1 else 1.0 - heat
        weight = gain * fit[:, 1]
        evidence += float(np.logaddexp.reduce(weight) - np.log(len(weight)))
        keep = systematic(weight, rng)
        unknowns, fit, heat = unknowns[keep], fit[keep], heat + gain
        counts = np.array([1.0, heat])
        for _ in range(MOVES):
            unknowns, fit, share = within_cloud(
                unknowns, fit, counts, log_likelihood, stride, rng, parts
            )
            stride *= float(np.exp(np.clip(share - WANTED, -0.2, 0.4)))
            stride = min(stride, LONGEST_STRIDE)
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


def within_cloud(
    unknowns: FloatArray,
    fit: FloatArray,
    counts: FloatArray,
    log_likelihood: Fit,
    stride: float,
    rng: np.random.Generator,
    layout: Layout,
) -> tuple[FloatArray, FloatArray, float]:
    """One Metropolis move of every particle within the normal law of the others.

    The cloud is parted at random, and each half is moved by the law of the other half: a law that
    was read off the particle itself takes it for usual wherever it is (decision 0069).

    counts : how far each of the two parts of `fit` counts, (2,). [0 to 1]
    stride : share of the cloud's width that is thrown anew, 0 to 1; a particle keeps the root of
             1 - stride^2 of its way from the middle. Unlike a random walk this leaves the cloud's
             own law as it is, so that unknowns of which little is known move far at no cost,
             however many there are (Neal 1998 and Cotter et al. 2013, memory; there the prior takes
             the place of the cloud).
    """
    n = len(unknowns)
    halves = np.array_split(rng.permutation(n), 2)
    tried, nearer = np.empty_like(unknowns), np.empty(n)
    stays = np.sqrt(1 - stride**2)
    for mine, others in (halves, halves[::-1]):
        law = law_of(unknowns[others], layout)
        normal = rng.standard_normal((len(mine), unknowns.shape[1]))
        held = law.held(unknowns[mine])
        # In widths of the law a particle is `anew` once thrown, so that one of them is solved for.
        anew = stays * held + stride * normal
        tried[mine] = law.mean + anew @ law.root.T
        nearer[mine] = (anew**2).sum(1) - (held**2).sum(1)
    tried_fit = log_likelihood(tried)
    prior = ((unknowns**2).sum(1) - (tried**2).sum(1)) / 2
    gain = (tried_fit - fit) @ counts + prior + nearer / 2
    take = np.log(rng.uniform(size=n)) < gain
    moved = np.where(take[:, None], tried, unknowns)
    return moved, np.where(take[:, None], tried_fit, fit), float(take.mean())
