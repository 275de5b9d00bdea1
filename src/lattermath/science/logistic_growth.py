"""Growth of an epidemic by the logistic law."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit, logit

FloatArray = NDArray[np.float64]

EXPONENT_HELD = 700.0  # exp of this is still a number


def severity_on(start: float, rate: float, days: ArrayLike) -> FloatArray:
    """Share of leaf diseased on each day. [0 to 1], shape as `days`

    start : share diseased on day 0. [0 to 1]
    rate  : apparent rate of increase. [1/d]
    days  : days after the start, any shape. [d]

        logit(x) = logit(start) + rate t

    Source: Vanderplank 1963 (recalled; symbols confirmed on open teaching pages).
    Holds for: polycyclic disease without treatment or new leaf.
    """
    _share(start)
    grown = expit(logit(start) + rate * np.asarray(days, dtype=np.float64))
    return np.asarray(grown, dtype=np.float64)


def severity_area(start: float, rate: float, until_days: float) -> float:
    """Area under the logistic curve from day 0 on, exact, in proportion-days. [d]

    start, rate : as in `severity_on`. [0 to 1], [1/d]
    until_days  : last day. [d]

        A = ln(1 - x0 + x0 exp(r T)) / r
    """
    _share(start)
    if until_days < 0:
        raise ValueError("the last day must not be below 0")
    grown = rate * until_days
    if rate == 0 or grown == 0:
        return start * until_days
    if abs(grown) <= EXPONENT_HELD and start < 1:
        return math.log1p(start * math.expm1(grown)) / rate
    with np.errstate(divide="ignore"):
        held = np.logaddexp(np.log1p(-start), np.log(start) + grown)
    return float(held) / rate


def rate_between(share_then: float, share_now: float, days: float) -> float:
    """Apparent rate of increase from two readings. [1/d]

    share_then, share_now : diseased at two readings, above 0 and below 1. [0 to 1], [0 to 1]
    days                  : between them. [d]
    """
    if not (0 < share_then < 1 and 0 < share_now < 1) or days <= 0:
        raise ValueError("two shares between 0 and 1 are wanted, and days above 0 between them")
    return float(logit(share_now) - logit(share_then)) / days


def delay_by_removal(removed: float, rate: float) -> float:
    """Days that an epidemic is put back by taking diseased leaf away. [d]

    removed : share of the diseased leaf taken. [0 to 1]
    rate    : apparent rate of increase. [1/d]

        ln(1 / (1 - removed)) / rate

    Source: Vanderplank's argument for sanitation (recalled).
    Holds for: little disease, far from the levelling of the curve; longer is not promised.
    """
    if not 0 <= removed < 1 or rate <= 0:
        raise ValueError("a share below 1 and a rate above 0 are wanted")
    return -math.log1p(-removed) / rate


def monocyclic_rate(days: ArrayLike, incidence: ArrayLike) -> float:
    """Rate of a disease with one cycle a season: slope of ln(1 / (1 - x)) on time. [1/d]

    days      : days of the readings. [d]
    incidence : share of plants diseased, below 1. [0 to 1]

    Least squares with a level. Source: APS pages on temporal epidemiology, read.
    """
    when, seen = np.asarray(days, dtype=np.float64), np.asarray(incidence, dtype=np.float64)
    if when.shape != seen.shape or len(when) < 2 or np.any(seen >= 1) or np.any(seen < 0):
        raise ValueError("two readings or more are wanted, as many days, shares below 1")
    line = -np.log1p(-seen)
    apart = when - when.mean()
    if not np.any(apart):
        raise ValueError("readings on two days or more are wanted")
    return float((apart * line).sum() / (apart**2).sum())


def _share(start: float) -> None:
    if not 0 <= start <= 1:
        raise ValueError(f"start must lie between 0 and 1, not {start:g}")
