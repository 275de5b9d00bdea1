"""The range of a comparison in which some looks are totals: each leaf of them was not noted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lattermath.belief.count_likelihood import clumping
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.treated_beside import Looked
from lattermath.science.efficacy import Efficacy, MeanSeen, means_compared
from lattermath.vocabulary.events import Sighting


def ranged(facts: SeasonFacts, found: Efficacy, looks: Sequence[Looked]) -> Efficacy:
    """The same with its range, where totals alone kept it from having one.

    looks : treated and then untreated, each before and after, or after alone; their number tells.

    A total of n leaves is as spread as the belief holds leaves to be: a negative binomial of the
    same clumping. A look at one leaf has no range.
    """
    if found.low_percent is not None:
        return found
    seen = [_mean_seen(facts, look) for look in looks]
    half = len(seen) // 2
    return means_compared(seen[:half][::-1], seen[half:][::-1])


def _mean_seen(facts: SeasonFacts, look: Looked) -> MeanSeen:
    n = len(look.a_leaf)
    if n > 1:
        counts = np.asarray(look.a_leaf, dtype=np.float64)
        relative = float(counts.var(ddof=1)) / max(look.mean, 1e-9) ** 2
        return MeanSeen(look.mean, n, relative / n)
    n = next(
        (e.payload.looked_at or 1 for e in facts.events
         if e.serial == look.serial and isinstance(e.payload, Sighting)), 1,
    )  # fmt: skip
    k = float(clumping(look.mean))
    relative = 1 / max(look.mean, 1e-9) + 1 / k
    return MeanSeen(look.mean, n, relative / n)
