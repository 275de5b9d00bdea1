"""How what a treatment takes spreads among gardens, beside the range of a trial."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Spread = tuple[float, float, float]  # low, typical, high: share taken

# Judgement: the range of a trial is narrower than that among gardens, of which many spread
# at least from a fifth less than the figure to a quarter fewer left (or a quarter more taken, where
# it takes little).
A_FIFTH_LESS, A_QUARTER_FEWER, A_QUARTER_MORE = 0.8, 0.75, 1.25
# Judgement: between a trial's low and high figure lie six gardens in ten. One in five falls below
# the low figure, and one in fourteen below a quarter of it, for undersides missed, rain, or insects
# that withstand it; one in five goes past the high figure, wetting more (decision 0063).
FALLS_SHORT = ((0.0, 0.0), (0.07, 0.25), (0.2, 1.0))  # share of gardens, share of the low figure
GOES_PAST = 0.8


def widened(low: float, middle: float, high: float) -> Spread:
    """A range no narrower than that among gardens."""
    most = min(A_QUARTER_MORE * middle, 1.0 - A_QUARTER_FEWER * (1.0 - middle))
    return min(low, A_FIFTH_LESS * middle), middle, max(high, most)


def taken(uniform: FloatArray, spread: Spread, most: float) -> FloatArray:
    """Share taken in the garden at each place from worst, 0, to best, 1; shape of `uniform`.

    most : share taken in the best of all.
    """
    low, middle, high = spread
    gardens = [*(share for share, _ in FALLS_SHORT), 0.5, GOES_PAST, 1.0]
    shares = [*(part * low for _, part in FALLS_SHORT), middle, high, most]
    return np.asarray(np.interp(uniform, gardens, shares))
