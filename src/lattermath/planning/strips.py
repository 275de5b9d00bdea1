"""What grows or shrinks over the coming days, with the course and without, as a sheet draws it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.vocabulary.season_series import Strip

FloatArray = NDArray[np.float64]


def strip(name: str, today: date, with_it: FloatArray, without: FloatArray, unit: str) -> Strip:
    """One line of it: middle and range with the course, middle without.

    with_it, without : by draw and day from today, (n_draws, n_days). [unit]
    """
    low, middle, high = np.quantile(with_it, [0.1, 0.5, 0.9], axis=0)
    return Strip(
        name,
        tuple(today + timedelta(days=n) for n in range(with_it.shape[1])),
        tuple(middle.tolist()),
        tuple(low.tolist()),
        tuple(high.tolist()),
        tuple(np.median(without, axis=0).tolist()),
        unit,
    )
