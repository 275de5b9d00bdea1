"""How large tubers, roots, bulbs and set fruit are by the warmth that their plants have had."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TUBERS = frozenset({"potato"})
# Judgement: of the warmth from sowing or setting out to the first lifting, what has passed when
# tubers, roots, stems or cloves begin to swell, or fruit has set; from there on they grow evenly.
# Spring onions, heads and sprouts are leaf themselves, and what eats leaves eats them.
BEGINS = {
    "potato": 0.5,
    "carrot": 0.4,
    "beet": 0.4,
    "turnip": 0.4,
    "radish": 0.4,
    "leek": 0.4,
    "kohlrabi": 0.4,
    "garlic": 0.6,
    "winter_squash": 0.6,
}


def swollen(crop: str, passed: Floats) -> Floats:
    """Share of full size, any shape. [0 to 1]

    passed : share of the warmth to the first lifting that has passed, of the same shape.

    Only for the crops of `BEGINS`; KeyError for others.
    """
    begins = BEGINS[crop]
    return np.asarray(np.clip((passed - begins) / (1.0 - begins), 0.0, 1.0))
