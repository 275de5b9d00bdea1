"""What feeding leaves of the yield, day after day, as a power of the twentieth that is lost."""

from __future__ import annotations

import numpy as np

from lattermath.belief.cluster_plantings import Stand


def yield_kept(
    counts: np.ndarray, stand: Stand, appetite: np.ndarray, days_for_5_percent: float
) -> np.ndarray:
    """Share of the yield left by draw and day, (n_draws, n_days). [0 to 1]

    counts : insects by stage, (n_draws, n_days + 1, n_stages), from today on.
    """
    days = [counts[:, day].astype(np.float64) @ appetite for day in range(1, counts.shape[1])]
    fed = np.cumsum(np.stack(days, axis=1), axis=1) / (stand.all_leaves * stand.leaf_cm2)
    return np.asarray(0.95 ** (fed / days_for_5_percent))
