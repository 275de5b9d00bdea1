"""What the even course of a leaf disease leaves out: on each planting the severity wanders.

The epidemic of a draw follows one rate for the whole season. On a plot the air between the leaves,
dew, shade, old leaves that fall and the single colonies that begin it differ from bed to bed and
from week to week. As for insects (level_drift), the wandering of the logit of the severity about
the even course is not sampled but filtered, planting by planting, from look to look; ahead of today
it is thrown. Decision 0037 says how its size was found.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.leaf_disease_sightings import LeafSeen, likelihood_of, true_severity
from lattermath.belief.level_drift import Walk, Wandered, carried

FloatArray = NDArray[np.float64]

WEEK_SD = 0.5  # logit of the severity; tuned on seasons played in nature (decision 0037)
A_DAY = WEEK_SD**2 / 7  # variance gained in a day
EYE_SD = 0.4  # judgement: growers differ in what they say of the same leaf, as in counting
PULLED_BACK_DAYS = 42.0  # judgement: no planting wanders off for ever; time constant ahead
MOST_TIMES = 20.0  # latent infection beside what the even course has
LEAST, MOST = 1e-9, 1 - 1e-9


def filtered(seen: Sequence[LeafSeen], severity: FloatArray, eye: FloatArray) -> Wandered:
    """Carry the wandering from look to look.

    severity : by the even course, (n_draws, n_plantings, n_days, 2). [0 to 1]
    eye      : how much more this grower says than there is, logit, (n_draws,).
    """

    def fit(one: LeafSeen, away: FloatArray) -> FloatArray:
        even = special.logit(true_severity(severity, one)) + eye
        return likelihood_of(special.expit(even[:, None] + away), one)

    return carried(seen, severity.shape[:2], Walk(A_DAY), fit)


def thrown(wandered: Wandered, today: int, streams: Sequence[np.random.Generator]) -> FloatArray:
    """How far each planting has wandered today, a stream for each, (n_draws, n_plantings)."""
    out = np.empty_like(wandered.mean)
    for p, stream in enumerate(streams):
        sd = np.sqrt(wandered.variance[:, p] + A_DAY * max(today - int(wandered.last[p]), 0))
        out[:, p] = wandered.mean[:, p] + sd * stream.standard_normal(len(out))
    return out


def coming(streams: Sequence[np.random.Generator], n_draws: int, n_days: int) -> FloatArray:
    """Throws of the days to come, a stream for each planting, (n_draws, n_plantings, n_days)."""
    return np.stack([one.standard_normal((n_draws, n_days)) for one in streams], axis=1)


def moved(severity: FloatArray, away: FloatArray) -> FloatArray:
    """Severity with its logit moved; nothing stays nothing. [0 to 1]"""
    even = special.logit(np.clip(severity, LEAST, MOST))
    return np.where(severity > LEAST, special.expit(even + away), severity)


def bent(past: FloatArray, away: FloatArray) -> FloatArray:
    """Past severities bent to today's, (n_draws, n_plantings, n_days, 2): in the mean a wandering
    that begins at none and ends as it did lies on the straight line."""
    n_days = past.shape[2]
    passed = np.arange(n_days) / max(n_days - 1, 1)
    return moved(past, (away[:, :, None] * passed)[..., None])


def alike(hidden: FloatArray, even: FloatArray, seen: FloatArray) -> FloatArray:
    """Latent infection as much more or less as colonies are, and no more than there is leaf."""
    more = hidden * np.clip(seen / np.maximum(even, 1e-12), 0, MOST_TIMES)[..., None]
    fits = np.minimum(1.0, (1 - seen) / np.maximum(more.sum(-1), 1e-12))
    return np.asarray(more * fits[..., None])


def by_chance(ahead: FloatArray, throws: FloatArray) -> FloatArray:
    """Severities from today on with what chance will add, (n_draws, n_plantings, n_days + 1, 2).

    throws : as of `coming`; the same for every plan, so that what differs between two is theirs.
    """
    away, keep = np.zeros(ahead.shape[:3]), np.exp(-1.0 / PULLED_BACK_DAYS)
    for day in range(1, ahead.shape[2]):
        away[:, :, day] = keep * away[:, :, day - 1] + np.sqrt(A_DAY) * throws[:, :, day - 1]
    return moved(ahead, away[..., None])
