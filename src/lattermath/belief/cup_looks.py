"""What a look at cups tells: how many hold a plant, and how fast roots fill them here.

Cups warm and feed otherwise than the weather of the plot says: they stand in a porch, in shade, in
a mix that holds more or less. So how fast a lot fills is believed to be off by a quarter either
way until somebody turns a cup out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.science.root_fill import CupHeat
from lattermath.vocabulary.events import Roots

Values = NDArray[np.float64]

PRIOR_CUPS = 8.0  # judgement: the table's stand is worth as much as eight cups looked at
PACE_SD = 0.25  # judgement: how cups here fill beside what the weather says, log scale
LOOK_SD = 0.05  # judgement: how a ball of roots is told, log scale of its heat
GRID = np.linspace(-4.0, 4.0, 161)  # paces tried, in standard deviations
GOLDEN = 0.6180339887498949  # of the golden section: shares taken so are even and in no order


def stand_share(up: int, cups: int, plants: int, usual: float) -> float:
    """Share of a lot's cups that hold a plant, where some of them were looked at. [0 to 1]

    up of `cups` had come up; the others are believed by the beta distribution that the table's
    stand (`usual`, 0 to 1) and these give. All looked at: their own share.
    """
    others = max(plants - cups, 0)
    share = (PRIOR_CUPS * usual + up) / (PRIOR_CUPS + cups)
    return min(1.0, (up + others * share) / max(plants, cups, 1))


def pace_weights(looks: Sequence[tuple[float, Roots]], heat: CupHeat) -> Values:
    """Weight of each pace of the grid, sums to 1, after roots were looked at.

    looks : the heat that the weather gave the lot by that day, and what was seen. [C d]
    Below `ready` roots are few, from there they fill the cup, from `coils` on they circle.
    """
    weights = np.exp(-0.5 * GRID**2)
    for gathered, seen in looks:
        weights = weights * np.maximum(root_chance(gathered, seen, heat), 1e-12)
    return np.asarray(weights / weights.sum())


def root_chance(gathered: float, seen: Roots, heat: CupHeat, look_sd: float = LOOK_SD) -> Values:
    """Chance that roots are called so, at each pace of the grid. [0 to 1]

    gathered : the heat that the weather gave the lot. [C d]
    look_sd  : how surely a ball of roots is told, log scale of its heat.
    """
    bounds: Mapping[Roots, tuple[float, float]] = {
        "few": (0.0, heat.ready),
        "filling": (heat.ready, heat.coils),
        "coiled": (heat.coils, np.inf),
    }
    middle = np.log(max(gathered, 1e-6)) + PACE_SD * GRID
    with np.errstate(divide="ignore"):
        low, high = (np.log(bound) for bound in bounds[seen])
    chance = special.ndtr((high - middle) / look_sd) - special.ndtr((low - middle) / look_sd)
    return np.asarray(chance)


def paces(looks: Sequence[tuple[float, Roots]], heat: CupHeat, n_draws: int) -> Values:
    """How fast the cups fill beside what the weather says, one a draw, (n_draws,).

    1 in every draw where nobody looked.
    """
    if not looks:
        return np.ones(n_draws)
    cumulative = np.cumsum(pace_weights(looks, heat))
    shares = ((np.arange(n_draws) + 0.5) * GOLDEN) % 1.0
    return np.asarray(np.exp(PACE_SD * np.interp(shares, cumulative, GRID)))
