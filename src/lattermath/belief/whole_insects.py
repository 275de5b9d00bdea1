"""Insects come whole: where few live, births, deaths and arrivals are thrown and not averaged.

A draw is a course of numbers that need not be whole, so that a tenth of a mother lays a tenth of
her eggs on every planting, none ever dies out, and flight from planting to planting fills all of
them. On a plot nine plantings of ten stay empty and one gets a mother. Every third day from today
what is there is therefore multiplied by chance: mean 1, and the variance that the births and
deaths since then have, which counts where there are few and not where there are many.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.level_drift import STEP_DAYS
from lattermath.science.stage_cohorts import Kills

FloatArray = NDArray[np.float64]
Throw = Callable[[str], np.random.Generator]
March = Callable[[FloatArray, int, int], tuple[FloatArray, FloatArray]]

# Judgement: further ahead the weather and the walk of the level say more than single insects.
WHOLE_DAYS = 42
LEAST_SHAPE, LEAST_FACTOR = 1e-3, 1e-6


def chance_factor(shape: FloatArray, normal: FloatArray, uniform: FloatArray) -> FloatArray:
    """A factor of mean 1 and variance 1 / shape, about gamma; all arrays alike.

    normal, uniform : standard normal and even numbers that stay the same when the shape moves, so
                      that draws of one day and the next differ for a reason only.

    By Wilson and Hilferty's cube for one more than the shape, and the uniform's power, which brings
    a gamma of one more down by one exactly (Marsaglia and Tsang; both recalled).
    """
    shape = np.maximum(shape, LEAST_SHAPE)
    more = shape + 1.0
    cube = np.maximum(1.0 - 1.0 / (9.0 * more) + normal / (3.0 * np.sqrt(more)), 0.0) ** 3
    return np.asarray(more / shape * cube * uniform ** (1.0 / shape))


def whole_today(number: FloatArray, keys: Sequence[str], throw: Throw) -> FloatArray:
    """What being whole makes of expected numbers of today, a factor of the same shape.

    number : by stage, (n_draws, n_plantings, n_stages).
    """
    chance = _chances(keys, throw, "whole", (len(number), number.shape[2]))
    return np.maximum(chance_factor(number, *chance), LEAST_FACTOR)


def whole_to_come(
    coming: FloatArray,
    state: FloatArray,
    stays: FloatArray,
    march: March,
    stage_of_class: NDArray[np.int64],
    keys: Sequence[str],
    throw: Throw,
    female: float = 1.0,
) -> NDArray[np.float32]:
    """What multiplies the numbers on every third day from today, by stage.

    coming : what it is by the walk of each planting, (n_draws, n_shocks, n_plantings).
    state  : insects by class this morning, (n_draws, n_plantings, n_classes).
    stays  : share of a stage that is in it still after three days, (n_stages,). [0 to 1]
    female : share of the adults that are. [0 to 1]
    march  : state on a later day and how many there are by stage, from a state, the days since this
             morning at which it stands and the days to pass.

    Gives (n_draws, n_shocks, n_plantings, n_stages). In three days, of n insects the share p stays
    and the rest moves on or dies; what is there then has the variance n p (1 - p) of those that
    stayed and that of a Poisson number for those that came, by birth, moult or wing. Births, the
    first stage, come of as many mothers as chance makes of the adults.
    """
    n_draws, n_shocks, _ = coming.shape
    n_stages = len(stays)
    every = np.repeat(coming[..., None], n_stages, axis=3)
    member = np.eye(n_stages)[stage_of_class]
    before, day = state @ member, 0
    n_thrown = min(n_shocks, WHOLE_DAYS // STEP_DAYS)
    normal, uniform = _chances(keys, throw, "to come", (n_draws, n_thrown, n_stages))
    for n in range(n_thrown):
        then = STEP_DAYS * (n + 1) - 1
        state, there = march(state, day, then - day)
        stayed = np.minimum(stays * before, there)
        came = there - stayed
        variance = stayed * (1 - stays) + came
        few_mothers = (1 - female) / female / np.maximum(before[..., -1], LEAST_SHAPE)
        variance[..., 0] += came[..., 0] ** 2 * few_mothers
        shape = there**2 / np.maximum(variance, 1e-12)
        every[:, n] *= chance_factor(shape, normal[:, :, n], uniform[:, :, n])
        state = state * every[:, n][..., stage_of_class]
        before, day = there * every[:, n], then
    return every.astype(np.float32)


def _chances(
    keys: Sequence[str], throw: Throw, word: str, shape: tuple[int, ...]
) -> tuple[FloatArray, FloatArray]:
    """Standard normal and even numbers of every planting, (n_draws, n_plantings, ...) both."""
    streams = [throw(f"{word}|{key}") for key in keys]
    normal = [stream.standard_normal(shape) for stream in streams]
    uniform = [stream.random(shape) for stream in streams]
    return np.stack(normal, axis=1), np.stack(uniform, axis=1)


def at_shocks(by_day: NDArray[np.generic], today: int, n_shocks: int) -> NDArray[np.float32]:
    """The days on which chance is thrown, of (n_draws, n_days, n_plantings)."""
    days = today + STEP_DAYS * (np.arange(n_shocks) + 1) - 1
    return np.asarray(by_day[:, days], dtype=np.float32)


def with_shocks(kills: Kills, coming: NDArray[np.floating], today: int) -> Kills:
    """Treatments, and what chance multiplies the numbers by every third day from today.

    coming : (n_draws, n_shocks, n_plantings), or by stage too.
    """
    by_stage = coming if coming.ndim == 4 else coming[..., None]
    days = [today + STEP_DAYS * (n + 1) - 1 for n in range(coming.shape[1])]
    return _times(kills, {day: by_stage[:, n] for n, day in enumerate(days)})


def with_frost(kills: Kills, standing: NDArray[np.bool_], today: int) -> Kills:
    """Treatments, and what frost takes with a planting, counted every third day from today.

    standing : whether frost has left each planting alive, (n_draws, n_days, n_plantings).
    """
    days = frosty_days(standing, today)
    return _times(kills, {day: standing[:, day, :, None] for day in days}) if days else kills


def frosty_days(standing: NDArray[np.bool_], today: int) -> list[int]:
    """Days on which that is counted and some planting stands no more in some draw."""
    thirds = range(today + STEP_DAYS - 1, standing.shape[1], STEP_DAYS)
    return [day for day in thirds if not standing[:, day].all()]


def _times(kills: Kills, factors: Mapping[int, NDArray[np.generic]]) -> Kills:
    """Treatments, and by what they are multiplied on some days; days after the last are left out.

    factors : by day, (n_draws, n_plantings, n_stages or 1).
    """
    n_days = len(kills.event_of_day)
    factors = {day: factor for day, factor in factors.items() if day < n_days}
    treated = {int(d): int(kills.event_of_day[d]) for d in np.flatnonzero(kills.event_of_day >= 0)}
    every = sorted({*factors, *treated})
    n_draws = max([len(kills.left), *(len(factor) for factor in factors.values())])
    left = np.empty((n_draws, len(every), *kills.left.shape[2:]), dtype=np.float32)
    event_of_day = np.full(n_days, -1, dtype=np.int64)
    for row, day in enumerate(every):
        event_of_day[day] = row
        left[:, row] = kills.left[:, treated[day]] if day in treated else factors[day]
        if day in treated and day in factors:
            left[:, row] *= factors[day].astype(np.float32)
    return Kills(event_of_day, left)
