"""Mesh and fleece: who is kept out, and a cluster whose covered plantings are shut off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import SPECIES
from lattermath.knowledge.methods import Efficacy, Method
from lattermath.vocabulary.plot import OnHand

FloatArray = NDArray[np.float64]
Spread = tuple[float, float, float]

ADULTS = ("adult", "damage")  # stages of rows that tell how many are kept out
FINE = ("fine mesh", "finest mesh", "mesh 0.2")  # rows that ask for more than crop mesh
COARSE = "ordinary crop mesh"
LEAST_KEPT_OUT = 0.2  # judgement: what keeps out less is not worth laying


def kept_out(
    method: Method, organism: str, words: Sequence[str], cover: OnHand
) -> tuple[Spread, str] | None:
    """Low, typical and high share of adults that a cover keeps out, and the figure it rests on.

    words : what efficacy rows call the organism, as in Crosswalk.targets.

    None where the table has no figure for this cover, or one too low to matter.
    """
    rows = [row for row in method.against(words) if row.stage in ADULTS]
    rows = [row for row in rows if _concerns(row, organism) and _through(row, cover)]
    best = max(rows, key=lambda row: row.percent.value, default=None)
    if best is None or best.percent.value < 100 * LEAST_KEPT_OUT:
        return None
    low, high = best.percent.span
    middle = best.percent.value
    return (low / 100, middle / 100, high / 100), f"table:{best.percent.address}"


def _concerns(row: Efficacy, organism: str) -> bool:
    named = [key for words, key in SPECIES.items() if words in row.target.lower()]
    return not named or organism in named


def _through(row: Efficacy, cover: OnHand) -> bool:
    """Is the row about this cover? Fine mesh and fleece keep out what coarse mesh does, too."""
    wants_fine = any(word in row.target.lower() for word in FINE)
    return cover in ("fine mesh", "fleece") or not wants_fine


def covered(
    belief: ClusterBelief, places: Sequence[int], share: Spread, uniform: FloatArray
) -> ClusterBelief:
    """The cluster if these plantings are covered from today on.

    share   : low, typical and high share of adults kept out.
    uniform : how good the cover proves to be, (n_draws,). [0 to 1]

    Adults from outside and from neighbours stay out but for the rest; those inside stay inside.
    What has lived through the soil or was there before is as it was.
    """
    keeps = np.interp(uniform, (0.1, 0.5, 0.9), share)
    setting, shut = belief.setting, list(places)
    arrivals = np.broadcast_to(
        setting.arrivals, (belief.n_draws, *setting.arrivals.shape[1:])
    ).copy()
    arrivals[:, :, shut] *= (1.0 - keeps)[:, None, None].astype(np.float32)
    usual = float(np.median(keeps))
    return replace(
        belief,
        setting=replace(
            setting,
            arrivals=arrivals,
            settle=_shut(setting.settle, shut, usual),
            settle_shaken=_shut(setting.settle_shaken, shut, usual),
        ),
    )


def _shut(settle: FloatArray, places: Sequence[int], keeps: float) -> FloatArray:
    """Where flying adults settle when some plantings are covered; who is turned back stays."""
    inside = np.zeros(len(settle), dtype=bool)
    inside[list(places)] = True
    crosses = inside[:, None] | inside[None, :]
    np.fill_diagonal(crosses, False)
    left = np.where(crosses, settle * (1.0 - keeps), settle)
    left[np.diag_indices(len(left))] += settle.sum(1) - left.sum(1)
    return np.asarray(left)
