"""Area under the disease progress curve, and what a course of disease costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ProgressArea:
    """How much disease there was over a time. None from a single reading.

    audpc    : area under the curve, in the unit of the severities times days.
    relative : the same as a share of disease at its full all the time. [1]
    audps    : area by steps, which counts the first and the last reading in full.
    """

    audpc: float | None
    relative: float | None
    audps: float | None


def progress_area(times: ArrayLike, severity: ArrayLike, full: float = 100.0) -> ProgressArea:
    """Area under disease readings by the trapezoid rule, as a share, and by steps.

    times    : days of the readings, rising. [d]
    severity : readings, in per cent unless `full` says otherwise.
    full     : what a severity can be at most.

        AUDPS = mean(y) D n / (n - 1),  D the time from first to last reading

    Source: Campbell and Madden 1990 through the manual of an open R package, read; Simko and
    Piepho 2012, abstract read.
    """
    when, seen = np.asarray(times, dtype=np.float64), np.asarray(severity, dtype=np.float64)
    if when.shape != seen.shape or when.ndim != 1 or len(when) == 0:
        raise ValueError("times and severities must be as many, one or more")
    if np.isnan(when).any() or np.isnan(seen).any():
        raise ValueError("every reading needs its time and its severity")
    if np.any(np.diff(when) <= 0):
        raise ValueError("times must rise, with no time twice")
    if len(when) == 1:
        return ProgressArea(None, None, None)
    lasted = float(when[-1] - when[0])
    area = float((np.diff(when) * (seen[1:] + seen[:-1]) / 2).sum())
    steps = float(seen.mean() * lasted * len(when) / (len(when) - 1))
    return ProgressArea(area, area / (full * lasted), steps)


def yield_left(area: ArrayLike, loss_per_square: float, healthy: float = 1.0) -> FloatArray:
    """Yield after a course of disease, in the unit of `healthy`; never below 0.

    area            : AUDPC, in proportion-days. [d]
    loss_per_square : yield lost per squared proportion-day, in the unit of `healthy`.
    healthy         : yield without disease.

        Y = healthy - loss AUDPC^2

    Small epidemics cost next to nothing, large ones much; a straight line would not do.
    Source: Ferrandino and Elmer 1992, abstract read (the unit of AUDPC inferred).
    Holds for: Septoria leaf spot of tomato up to the areas seen there.
    """
    square = np.asarray(area, dtype=np.float64) ** 2
    return np.maximum(healthy - loss_per_square * square, 0.0)


def action_severity(
    cost: float, value: float, loss_a_point: float, efficacy: float
) -> float | None:
    """Severity at which a treatment pays for itself; None where it does nothing. [%]

    cost, value      : of one treatment, and of the yield at stake, in one unit.
    loss_a_point : share of that yield lost by one per cent of severity. [1]
    efficacy         : share of the loss that the treatment prevents. [0 to 1]

        S = cost / (value loss efficacy)

    Source: economic injury level; divided by efficacy, where an open textbook multiplies: a poorer
    treatment needs more disease to pay.
    """
    if value <= 0 or loss_a_point <= 0:
        raise ValueError("value and loss must be above 0")
    return cost / (value * loss_a_point * efficacy) if efficacy > 0 else None
