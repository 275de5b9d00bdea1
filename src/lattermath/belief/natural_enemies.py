"""What enemies counted on a planting take of an insect: a mortality that fades with the weeks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lattermath.belief.among_gardens import Spread
from lattermath.belief.treatment_effect import Effect
from lattermath.knowledge.organisms import Enemy

AT_WORK_DAYS = 14  # judgement: a count of enemies says something for about two weeks
HALF_LIFE_DAYS = 10.0  # judgement: by then half of them are grown up or gone
METHOD = "natural_enemies"  # how good they prove to be here is one unknown
MOST_TAKEN = 0.95
FOUND_AND_HUNGRY = 0.5  # judgement: of what captive ones eat, outdoors, in half of their time


def effect_of_enemy(
    enemy: Enemy, count: float, prey: float, stages: Sequence[str], rests_on: tuple[str, ...]
) -> Effect | None:
    """What they take over the two weeks from the count; None where nothing was counted.

    count, prey : enemies and prey on the same number of leaves. Of parasitised hosts the count is
                  taken beside the living ones.
    stages      : of the prey.
    """
    if count <= 0:
        return None
    spread = _of_share(count, prey) if enemy.is_a_share else _of_appetite(enemy, count, prey)
    kill = {s: spread for s in stages if s.startswith(enemy.stages)}
    if not kill:
        return None
    return Effect(METHOD, kill, HALF_LIFE_DAYS, AT_WORK_DAYS, False, rests_on)


def _of_share(taken: float, living: float) -> Spread:
    """Two weeks of a wasp whose taken hosts are so large a share: about as many again, or more.

    Those already taken and not yet to be told apart are about as many as the mummies (judgement).
    """
    share = taken / (taken + max(living, 0.0))
    low, usual, high = (1 - (1 - share) ** times for times in (0.5, 2.0, 4.0))
    return min(low, MOST_TAKEN), min(usual, MOST_TAKEN), min(high, MOST_TAKEN)


def _of_appetite(enemy: Enemy, count: float, prey: float) -> Spread:
    """Prey eaten a day over prey there, for two weeks."""
    eats = enemy.eats_a_day
    if eats is None:
        return 0.0, 0.0, 0.0
    low, high = eats.span
    daily = [FOUND_AND_HUNGRY * rate * count / max(prey, 1.0) for rate in (low, eats.value, high)]
    taken = [float(1 - np.exp(-AT_WORK_DAYS * hazard)) for hazard in daily]
    return min(taken[0], MOST_TAKEN), min(taken[1], MOST_TAKEN), min(taken[2], MOST_TAKEN)
