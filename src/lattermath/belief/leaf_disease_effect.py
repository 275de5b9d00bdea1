"""What a method does to a leaf disease: colonies it takes away, infections it keeps off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.among_gardens import Spread, taken
from lattermath.belief.deposit_wear import Wear, wear_of
from lattermath.knowledge.methods import Efficacy, Method

FloatArray = NDArray[np.float64]

TRIALS = ("after exposure", "bioassay")  # potted plants put out for days, no schedule of sprays
MIXED = ("with sunflower oil",)  # a mixture of two is a method of its own, and not ours to make
PROTECTS = "protectant"
MOVES_IN = "systemic"
COLONIES = ("colonies", "severity", "inoculum")


@dataclass(frozen=True, slots=True)
class LeafEffect:
    """One method against one disease, per treatment. Surfaces are (top, underside).

    cure           : low, typical and high share of colonies collapsed where wetted, by surface.
    cover          : same for new infections kept off on the first day.
    half_life_days : of the cover. [d]
    wear           : what wears the cover down.
    """

    method: str
    cure: tuple[Spread, Spread]
    cover: tuple[Spread, Spread]
    half_life_days: float
    wear: Wear
    by_surface: bool
    rests_on: tuple[str, ...]
    moves_in: bool = False  # systemic: undoes the youngest infections inside the leaf as well

    def draws(self, uniform: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Cure and cover, one draw for each uniform number, (n_draws, 2) each."""
        cure, cover = (
            np.stack([taken(uniform, spread, most=spread[2]) for spread in pair], axis=1)
            for pair in (self.cure, self.cover)
        )
        return cure, cover


def leaf_effect(method: Method, words: Sequence[str]) -> LeafEffect | None:
    """The effect of a method on a disease; None where the table has no figure of it.

    words : what efficacy rows call it, as in Crosswalk.targets.

    A protectant keeps infections off and cures nothing; every other material, and pruning, takes
    colonies away and leaves nothing behind.
    """
    rows = [r for r in method.against(words) if not any(w in r.target.lower() for w in MIXED)]
    if not rows or method.kind.startswith("physical"):
        return None
    protects = any(PROTECTS in route for route in method.routes)
    chosen = [_surface(rows, side, protects) for side in ("upper", "lower")]
    spreads = [_spread(row) for row in chosen]
    nothing = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    pair = (spreads[0], spreads[1])
    return LeafEffect(
        method.id,
        nothing if protects else pair,
        pair if protects else nothing,
        method.half_life_days.value if method.half_life_days else 1.0,
        wear_of(method),
        method.is_product,
        tuple(dict.fromkeys(f"table:{row.percent.address}" for row in chosen)),
        any(MOVES_IN in route for route in method.routes),
    )


def _surface(rows: Sequence[Efficacy], side: str, protects: bool) -> Efficacy:
    """The row of a surface, else of a schedule of sprays, else any."""
    return min(
        rows,
        key=lambda row: (
            side not in row.stage.lower(),
            any(word in row.target.lower() for word in TRIALS),
            not protects and row.stage.lower() not in COLONIES,
            "resistant" in row.target.lower(),
        ),
    )


def _spread(row: Efficacy) -> Spread:
    low, high = row.percent.span
    return max(low, 0.0) / 100, max(row.percent.value, 0.0) / 100, max(high, 0.0) / 100
