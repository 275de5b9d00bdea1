"""What cold an organism bears, from its tables."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lattermath.knowledge.organisms import Habits


def frost_days(stages: Sequence[str], habits: Habits) -> tuple[float, ...]:
    """Days at -3 C that leave a tenth of each stage; one figure for all adults, the last. [d]

    inf where frost takes none: in the soil, under litter, or hardy.
    """
    kept = [s for s in stages if not s.startswith("adult")]
    found = [habits.frost_days(stage) for stage in (*kept, "adult")]
    return tuple(np.inf if days is None else days for days in found)
