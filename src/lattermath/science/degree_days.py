"""Heat accumulation from daily extremes."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

Method = Literal["single-sine", "double-sine", "single-triangle", "double-triangle", "average"]
Cutoff = Literal["none", "horizontal", "intermediate", "vertical"]
Shape = Literal["sine", "triangle", "flat"]
Floats = NDArray[np.float64]

METHODS: tuple[str, ...] = get_args(Method)
CUTOFFS: tuple[str, ...] = get_args(Cutoff)
FLAT = 1e-9  # half range below which a day is taken as level, against division overflow [C]
_SHAPES: dict[str, Shape] = {
    "single-sine": "sine",
    "double-sine": "sine",
    "single-triangle": "triangle",
    "double-triangle": "triangle",
    "average": "flat",
}


def degree_days(
    t_min: ArrayLike,
    t_max: ArrayLike,
    lower: ArrayLike,
    upper: ArrayLike | None = None,
    method: Method = "single-sine",
    cutoff: Cutoff = "none",
) -> Floats:
    """Degree-days of each day above `lower`, with an upper cutoff where one is asked for. [C d]

    t_min, t_max : daily extremes, days on the last axis, shape (..., n_days). [C]
    lower, upper : thresholds, one number or an array that broadcasts over the days. [C]
    method       : the curve assumed between the extremes. `average` takes the mean temperature as
                   holding all day. Double methods take half of the day down to the next day's
                   minimum; the last day reuses its own, so that lengths agree.
    cutoff       : what development does above `upper`: `horizontal` stays at its pace there,
                   `intermediate` falls again at the slope at which it rose, `vertical` stops.
                   With `none`, `upper` is not used.

    NaN in gives NaN out, for a double method also on the day before a missing minimum.

    Raises ValueError where t_max is below t_min, where a cutoff has no upper threshold, or where
    the upper threshold is not above the lower one.

    Source: Baskerville & Emin 1969 and Allen 1976 (sine), Sevacherian et al. 1977 (triangle),
    Zalom et al. 1983 (cutoffs); forms recalled, papers not open. Checked against the printed
    output of a state extension service, 182 days and four methods
    (tests/published/test_ojai_degree_days.py).
    Holds for: air temperature in a shelter; a table built with one method wants that method.
    """
    low, high = np.broadcast_arrays(np.asarray(t_min, float), np.asarray(t_max, float))
    base = np.asarray(lower, float)
    top = _checked(low, high, base, upper, method, cutoff)
    shape = _SHAPES[method]
    first = _half(low, high, base, top, shape, cutoff)
    if not method.startswith("double"):
        return first
    following = np.concatenate([low[..., 1:], low[..., -1:]], axis=-1)
    # A night may stay warmer than the day before it: the curve then rises to the next "minimum".
    second = _half(
        np.minimum(following, high), np.maximum(following, high), base, top, shape, cutoff
    )
    return (first + second) / 2


def clipped_average(t_min: ArrayLike, t_max: ArrayLike, lower: float, upper: float) -> Floats:
    """Degree-days with each extreme first brought into lower..upper, then averaged. [C d]

    The form of the 86/50 F rule for maize. It is another number than `average` with a cutoff, and
    a table made with it wants it. NaN in gives NaN out. ValueError as in `degree_days`.

    Source: common practice.
    """
    low, high = np.broadcast_arrays(np.asarray(t_min, float), np.asarray(t_max, float))
    _checked(low, high, np.asarray(lower, float), upper, "average", "horizontal")
    clipped: Floats = np.clip(low, lower, upper) + np.clip(high, lower, upper)
    return clipped / 2 - lower


def mean_excess(t_min: Floats, t_max: Floats, threshold: ArrayLike, shape: Shape) -> Floats:
    """Mean over the day of max(0, temperature - threshold) under one curve. [C]

    A day wholly above gives its mean less the threshold, one wholly below gives 0, and a day that
    crosses gives the area of the curve above the threshold:
    sine ((M-T)(pi/2-theta) + W cos theta)/pi with theta = asin((T-M)/W); triangle
    (Tx-T)^2 / (2 (Tx-Tn)).
    """
    level = np.asarray(threshold, float)
    mean, half = (t_min + t_max) / 2, (t_max - t_min) / 2
    safe = np.where(half > FLAT, half, 1.0)
    crossing: Floats
    if shape == "flat":
        crossing = np.maximum(mean - level, 0.0)
        return crossing
    if shape == "sine":
        theta = np.arcsin(np.clip((level - mean) / safe, -1.0, 1.0))
        crossing = ((mean - level) * (np.pi / 2 - theta) + half * np.cos(theta)) / np.pi
    else:
        crossing = (t_max - level) ** 2 / (4 * safe)
    outside = np.where(t_min >= level, mean - level, 0.0 * mean)
    return np.where((t_min < level) & (t_max > level), crossing, outside)


def share_above(t_min: Floats, t_max: Floats, threshold: ArrayLike, shape: Shape) -> Floats:
    """Share of the day during which the curve stands above the threshold, 0 to 1."""
    level = np.asarray(threshold, float)
    mean, half = (t_min + t_max) / 2, (t_max - t_min) / 2
    safe = np.where(half > FLAT, half, 1.0)
    if shape == "flat":
        return np.where(np.isnan(mean), np.nan, mean >= level)
    if shape == "sine":
        crossing = 0.5 - np.arcsin(np.clip((level - mean) / safe, -1.0, 1.0)) / np.pi
    else:
        crossing = (t_max - level) / (2 * safe)
    outside = np.where(np.isnan(mean), np.nan, t_min >= level)
    return np.where((t_min < level) & (t_max > level), crossing, outside)


def _half(
    low: Floats, high: Floats, base: Floats, top: Floats | None, shape: Shape, cutoff: Cutoff
) -> Floats:
    """Degree-days of one day under one curve and one cutoff."""
    total = mean_excess(low, high, base, shape)
    if top is None:
        return total
    over = mean_excess(low, high, top, shape)
    if cutoff == "horizontal":
        return total - over
    if cutoff == "intermediate":
        return np.maximum(total - 2 * over, 0.0)
    lost = (top - base) * share_above(low, high, top, shape)
    # Rounding could leave a day wholly above the threshold at -1e-15.
    return np.maximum(total - over - lost, 0.0)


def _checked(
    low: Floats,
    high: Floats,
    base: Floats,
    upper: ArrayLike | None,
    method: str,
    cutoff: str,
) -> Floats | None:
    """The upper threshold to use, None for no cutoff; refuses what makes no sense."""
    if method not in METHODS:
        raise ValueError(f"method {method!r} is none of {', '.join(METHODS)}")
    if cutoff not in CUTOFFS:
        raise ValueError(f"cutoff {cutoff!r} is none of {', '.join(CUTOFFS)}")
    if np.any(high < low):
        raise ValueError("t_max is below t_min on at least one day")
    if cutoff == "none":
        return None
    if upper is None:
        raise ValueError(f"cutoff {cutoff!r} needs an upper threshold")
    top = np.asarray(upper, float)
    if not np.all(top > base):
        raise ValueError("the upper threshold is not above the lower one")
    return top
