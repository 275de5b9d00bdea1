"""What is in the ground already: tubers, roots, bulbs and set fruit that outlive the leaves.

Leaves that are eaten, sick or cut stop what would still form; they do not unmake what has.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.swelling import BEGINS, swollen

DrawDays = NDArray[np.float64]


def formed_share(belief: CropBelief) -> DrawDays:
    """Share of full size that a plant's crop has by each morning, (n_draws, n_days + 1). [0 to 1]

    Only for the crops of `swelling.BEGINS`; KeyError for others.
    """
    youngest = np.minimum(belief.age.min(axis=1), -1.0)[:, None]
    return swollen(belief.traits.crop, 1.0 - belief.age / youngest)


def kept_of_formed(belief: CropBelief, kept: DrawDays) -> DrawDays:
    """Share of the crop lifted on each coming day that is there, (n_draws, n_left).

    kept : share that the leaves of each coming day still make, (n_draws, n_left).

    What had formed by today is there whole, and of what forms later so much as the leaves make.
    Other crops bear day by day, and get `kept` itself.
    """
    if belief.traits.crop not in BEGINS:
        return kept
    if belief.haulm_off:
        return np.ones_like(kept)
    size = formed_share(belief)[:, belief.today :]
    there = size[:, :1] + np.cumsum(np.diff(size, axis=1) * kept, axis=1)
    then = size[:, 1:]
    return np.asarray(np.where(then > 0, there / np.maximum(then, 1e-9), kept))
