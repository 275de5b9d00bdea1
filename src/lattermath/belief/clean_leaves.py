"""A leaf disease on plants that are clean today: what flies in, and grows with the weather."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_disease import LeafAhead, LeafBelief


def on_clean_plants(belief: LeafBelief, place: int, suits: float) -> NDArray[np.float64]:
    """Severities of a new planting in one place, untreated, (n_draws, n_days + 1, 2). [0 to 1]

    place : a planting that is believed; its weather and wetness are taken for the new one.
    suits : how well the new crop suits the disease, beside its worst host. [0 to 1]

    Nothing of what stood there before stays, and nothing that was done to it. What flies in is the
    same as for every planting: the more there is on the plot, the more it was taken to be.
    """
    own = belief.unknowns
    here = [place]
    response = belief.response if belief.response.shape[1] == 1 else belief.response[:, here]
    clean = replace(
        belief,
        stands=(replace(belief.stands[place], suits=suits),),
        response=response,
        state=np.zeros_like(belief.state[:, here]),
        hidden=np.zeros_like(belief.hidden[:, here]),
        past=np.zeros_like(belief.past[:, here]),
        unknowns=replace(own, start=own.start[:, here]),
        applied=(),
        chance=None,
    )
    return np.asarray(LeafAhead.of(clean).run()[:, 0])
