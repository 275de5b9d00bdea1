"""What slugs, cutworms, birds, rabbits, deer and heat take of young plants set out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_traits import CropTraits

HOT_C = 30.0  # common practice: above this, plants set out wilt in spite of shade and water
SETTLING_DAYS = 4


class YoungLoss(NamedTuple):
    """One cause, the share it takes of collared and shaded plants, and whom it takes."""

    cause: str
    share: float
    families: frozenset[str]  # empty: all


def _of(*families: str) -> frozenset[str]:
    return frozenset(families)


# All shares are judgement: a plot with a fence of sorts, collars on, looked at thrice a week.
LOSSES = (
    YoungLoss("slugs", 0.05, _of()),
    YoungLoss("cutworms", 0.02, _of()),
    YoungLoss("birds", 0.05, _of("Brassicaceae", "Fabaceae", "Asteraceae", "Amaranthaceae")),
    YoungLoss("rabbits and deer", 0.04, _of("Brassicaceae", "Fabaceae", "Asteraceae",
                                            "Amaranthaceae", "Apiaceae")),
)  # fmt: skip
# Judgement: cups that stand on the plot among plants that carry what lives on them too.
BESIDE = YoungLoss("what flies or creeps over from them", 0.15, _of())
HEAT = YoungLoss("heat", 0.10, _of())


def losses_of(traits: CropTraits, season: GrowingSeason, column: int) -> tuple[YoungLoss, ...]:
    """The losses that a crop set out on that column is to expect, heat where it will be hot."""
    found = [one for one in LOSSES if not one.families or traits.family in one.families]
    days = slice(min(column, season.weather.n_days - 1), column + SETTLING_DAYS)
    if float(np.median(season.weather.t_max[:, days])) > HOT_C:
        found.append(HEAT)
    return tuple(found)


def stands(losses: tuple[YoungLoss, ...]) -> float:
    """Share of plants set out that stand after all of these; each takes of what is left."""
    return float(np.prod([1.0 - one.share for one in losses]))
