"""Growth of a population at a steady temperature: the Lotka-Euler equation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

FloatArray = NDArray[np.float64]

AGE_STEP_D = 0.125  # judgement: finer steps move r by less than 0.0002 a day


@dataclass(frozen=True, slots=True)
class Growth:
    """How a population grows when nothing changes.

    r               : intrinsic rate of increase; minus infinity where nobody is born. [1/d]
    r0              : daughters per mother in her life. [1]
    generation_days : ln(r0) / r, the mean age of mothers where r is 0; None without births. [d]
    doubling_days   : None where it does not grow. [d]
    """

    r: float
    r0: float
    generation_days: float | None
    doubling_days: float | None


def net_maternity(
    egg_adult_days: float,
    cv: float,
    survival: float,
    wait_days: float,
    adult_days: float,
    adult_cv: float,
    daughters_a_day: float,
    by_age: Sequence[float] = (1.0,),
) -> tuple[FloatArray, FloatArray]:
    """Ages and daughters born per newly laid egg at each age. [d], [1]; shape (n_ages,) each

    egg_adult_days, cv   : mean and coefficient of variation of development. [d], [1]
    survival             : share of eggs that become adult. [0 to 1]
    wait_days            : adult days before the first egg. [d]
    adult_days, adult_cv : mean and cv of adult life; a cv of 1 is the exponential. [d], [1]
    daughters_a_day      : daughters laid a day by a living mother after the wait. [1/d]
    by_age               : the same in equal parts of the laying life, beside the mean. [1]

    Development and adult life are gamma-distributed and independent; a part of a life takes a
    time of its own, gamma-distributed with the scale of the whole, so that the parts add up to it.
    """
    ages = np.arange(
        0.0, egg_adult_days * (1 + 6 * cv) + adult_days * (1 + 9 * adult_cv), AGE_STEP_D
    )
    emerged = np.diff(special.gammainc(cv**-2, ages / (cv**2 * egg_adult_days)))
    adult_age = ages[:-1]
    scale, laying_life = adult_cv**2 * adult_days, adult_days - wait_days
    ends = wait_days + laying_life * np.arange(1, len(by_age) + 1) / len(by_age)
    not_past = special.gammaincc(ends[:, None] / scale, adult_age / scale)
    within = np.diff(not_past, axis=0, prepend=0.0)
    lays = np.asarray(by_age, dtype=np.float64) @ within
    laying = np.where(adult_age >= wait_days, lays, 0.0) * daughters_a_day * AGE_STEP_D
    born = np.convolve(emerged, laying)[: len(emerged)] * survival
    return adult_age + AGE_STEP_D, np.asarray(born)


def growth_of(ages: FloatArray, born: FloatArray) -> Growth:
    """Growth that solves sum(born * exp(-r * age)) = 1.

    ages, born : age [d] and daughters born at it per newly laid egg, shape (n_ages,) each.

    Source: Lotka-Euler equation (textbook); generation as ln R0 / r, the identity that published
    life tables of these insects keep.
    """
    r0 = float(born.sum())
    if r0 <= 0 or not np.isfinite(r0):
        return Growth(-np.inf, max(r0, 0.0), None, None)
    mean_age = float((born * ages).sum() / r0)
    r = _lotka_root(ages, born, np.log(r0) / mean_age)
    generation = np.log(r0) / r if abs(r) > 1e-6 else mean_age
    return Growth(float(r), r0, float(generation), float(np.log(2) / r) if r > 0 else None)


def _lotka_root(ages: FloatArray, born: FloatArray, guess: float) -> float:
    """Newton's method on the logarithm of the sum, which is convex in r and so always arrives."""
    some = born > 0
    log_born, age = np.log(born[some]), ages[some]
    r = guess
    for _ in range(60):
        log_terms = log_born - r * age
        log_sum = float(special.logsumexp(log_terms))
        mean_age = float((np.exp(log_terms - log_sum) * age).sum())
        step = log_sum / mean_age
        r += step
        if abs(step) < 1e-12:
            break
    return r
