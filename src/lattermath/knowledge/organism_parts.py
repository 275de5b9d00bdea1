"""Where the stages of an insect or mite sit, and how long one was measured to last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lattermath.vocabulary.figure import Figure

Place = Literal[
    "underside", "top", "growing point", "flowers", "stem base", "inside the stem",
    "inside the leaf", "soil",
]  # fmt: skip

# Judgement: share of what sits in a place that stands on the underside and on the top of leaves,
# and share that can be wetted, seen and picked at all when the whole plant is worked over.
ON_SURFACES: dict[Place, tuple[float, float, float]] = {
    "underside": (0.9, 0.1, 1.0),
    "top": (0.2, 0.8, 1.0),
    "growing point": (0.4, 0.4, 0.8),
    "flowers": (0.2, 0.3, 0.6),
    "stem base": (0.0, 0.2, 0.5),
    "inside the stem": (0.0, 0.0, 0.0),
    "inside the leaf": (0.0, 0.0, 0.0),
    "soil": (0.0, 0.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Duration:
    """One measured duration: of a stage, on a host, at a temperature or in a season's words."""

    stage: str  # a stage, `egg_adult`, or "" where the row does not say
    host: str
    days: Figure
    temperature: Figure | None  # C
    when: str  # the words where no temperature is given: `summer`
