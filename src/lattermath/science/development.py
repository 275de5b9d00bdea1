"""Rate of development of cold-blooded animals and fungi, by temperature."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

SINE_POINTS = 24  # judgement: the sine of a day at 24 points is within 0.02 C d of its integral


def working_heat(
    temperature_c: ArrayLike,
    lower: float,
    upper: float | None = None,
    bend: float = 0.0,
) -> FloatArray:
    """Heat that works on development at one temperature, any shape. [C above `lower`]

    temperature_c : air temperature. [C]
    lower, upper  : thresholds; no development below `lower`, none faster above `upper`. [C]
    bend          : degrees below `upper` over which the straight line curves into the level
                    part; 0 gives the usual horizontal cutoff with its corner. [C]

    With b = upper - bend the curve is T - lower up to b, then loses slope evenly to 0 at `upper`:

        H = (b - lower) + (T - b) - (T - b)^2 / (2 bend)

    Source: linear degree-day model with horizontal cutoff; the bend is our own (judgement), after
    the general finding that real rates fall below the line within a few degrees of the upper
    threshold.
    Holds for: `lower` + 4 C to `upper`; nearer to `lower` real insects are faster than this.
    """
    heat = np.asarray(temperature_c, dtype=np.float64)
    if upper is None:
        return np.maximum(heat - lower, 0.0)
    if not lower < upper - bend:
        raise ValueError(f"lower {lower:g} C must lie below the bend at {upper - bend:g} C")
    straight = np.minimum(heat, upper - bend) - lower
    over = np.clip(heat - (upper - bend), 0.0, bend)
    curved = over - (over**2 / (2 * bend) if bend > 0 else 0.0)
    return np.maximum(straight, 0.0) + curved


def thermal_response(temperature_c: ArrayLike, low: float, best: float, high: float) -> FloatArray:
    """Share of the best performance at one temperature, any shape. [0 to 1]

    0 at and outside `low` and `high`, 1 at `best`. [C]

        f = ((high - T) / (high - best)) * ((T - low) / (best - low)) ** c,
        c = (best - low) / (high - best)

    Source: beta function of temperature in the form of Yan and Hunt 1999 (form from memory).
    """
    if not low < best < high:
        raise ValueError(f"temperatures must rise: low {low:g}, best {best:g}, high {high:g}")
    heat = np.clip(np.asarray(temperature_c, dtype=np.float64), low, high)
    shape = (best - low) / (high - best)
    return ((high - heat) / (high - best)) * ((heat - low) / (best - low)) ** shape


def briere_rate(temperature_c: ArrayLike, a: float, lower: float, lethal: float) -> FloatArray:
    """Rate of development by the first Briere curve, any shape. [1/d]

        r = a T (T - lower) sqrt(lethal - T) between the limits, 0 outside

    Source: Briere et al. 1999, equation from memory.
    """
    heat = np.clip(np.asarray(temperature_c, dtype=np.float64), lower, lethal)
    return a * heat * (heat - lower) * np.sqrt(lethal - heat)


def day_temperatures(t_min: ArrayLike, t_max: ArrayLike, moments: int = SINE_POINTS) -> FloatArray:
    """Temperatures of a day at evenly weighted moments of one sine. [C], shape (..., moments)

    t_min, t_max : daily extremes, shape (...,). [C]

    The moments are the Chebyshev nodes mean + half range * cos((2k - 1) pi / 2 moments): the mean
    of any smooth response over them is its mean over the sine day.
    """
    low, high = np.asarray(t_min, dtype=np.float64), np.asarray(t_max, dtype=np.float64)
    if np.any(high < low):
        raise ValueError("t_max is below t_min on at least one day")
    nodes = np.cos((2 * np.arange(1, moments + 1) - 1) * np.pi / (2 * moments))
    middle, half = (high + low) / 2, (high - low) / 2
    return np.asarray(middle[..., None] + half[..., None] * nodes)


def daily_heat(
    t_min: ArrayLike,
    t_max: ArrayLike,
    lower: float,
    upper: float | None = None,
    bend: float = 0.0,
) -> FloatArray:
    """Working heat of each day, integrated over one sine a day. [C d], shape as given

    NaN in gives NaN out. See `working_heat` and `day_temperatures`.
    Checked: tests/published/test_whitefly_development.py, four integrals of check O15.
    """
    return np.asarray(working_heat(day_temperatures(t_min, t_max), lower, upper, bend).mean(-1))


def by_temperature(temperature_c: ArrayLike, nodes: Sequence[tuple[float, float]]) -> FloatArray:
    """A figure given at some temperatures, straight between them and level outside, any shape.

    nodes : (temperature [C], value), temperatures rising.
    """
    known = np.asarray(nodes, dtype=np.float64)
    temperature = np.asarray(temperature_c, dtype=np.float64)
    return np.asarray(np.interp(temperature, known[:, 0], known[:, 1]))


def measured_rate(temperature_c: ArrayLike, nodes: Sequence[tuple[float, float]]) -> FloatArray:
    """Rate of development from a table of rates at constant temperatures, any shape. [1/d]

    nodes : (temperature [C], rate [1/d]), temperatures rising, two or more.

    Straight between what was measured. Below the coldest the line through the two coldest goes on
    down to nothing; above the hottest the rate stays what it was there.
    Source: piecewise-linear reading of a laboratory table (our own; no curve is fitted).
    """
    known = np.asarray(nodes, dtype=np.float64)
    temperature = np.asarray(temperature_c, dtype=np.float64)
    (cold, slow), (next_t, faster) = known[0], known[1]
    below = slow + (temperature - cold) * (faster - slow) / (next_t - cold)
    inside = np.interp(temperature, known[:, 0], known[:, 1])
    return np.asarray(np.where(temperature < cold, np.maximum(below, 0.0), inside))


def days_needed(rate_per_day: ArrayLike) -> FloatArray:
    """Days to finish at a steady rate; infinite where there is no development. [d]"""
    rate = np.asarray(rate_per_day, dtype=np.float64)
    return np.where(rate > 0, 1.0 / np.where(rate > 0, rate, 1.0), np.inf)


def day_of_share(cumulative: ArrayLike, share: float) -> float | None:
    """Day on which a rising daily series first reaches a share of `1`; None if it never does. [d]

    cumulative : value at the end of day 0, 1, 2 ..., as a share of the whole, shape (n_days + 1,).
    Between days the series is taken as straight.
    """
    series = np.asarray(cumulative, dtype=np.float64)
    reached = np.flatnonzero(series >= share)
    if reached.size == 0:
        return None
    day = int(reached[0])
    if day == 0:
        return 0.0
    before, after = float(series[day - 1]), float(series[day])
    return day - 1 + (share - before) / (after - before)
