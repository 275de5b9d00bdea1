"""What ten leaves can say: whether they tell heavy, and whether none on them tells clear."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_sightings import is_tapped, units_of
from lattermath.belief.coming_look import coming_look
from lattermath.belief.count_likelihood import at_most
from lattermath.belief.life_figures import LifeFigures

LEAVES = 10  # common practice: enough to say heavy, not to say clear; never more are asked for
# Judgement: heavy is four times the number growers act at, and as good as clear a tenth of it; a
# thing is told where one such planting in ten or fewer is taken for something else.
HEAVY, CLEAR, WRONG = 4.0, 0.1, 0.1


@dataclass(frozen=True, slots=True)
class TenLeaves:
    """Chances under the observation model of looks.

    heavy_missed : that a heavy planting shows fewer than the number growers act at would. [0 to 1]
    clear_missed : that a planting with a tenth of that number shows none. [0 to 1]
    """

    heavy_missed: float
    clear_missed: float

    @property
    def says(self) -> str:
        """What ten leaves are enough for, with the chances that it rests on."""
        missed = f"of heavy plantings {_in_hundred(self.heavy_missed)} look light"
        unseen = f"of those with a few {_in_hundred(self.clear_missed)} show none"
        heavy, clear = self.heavy_missed <= WRONG, self.clear_missed <= WRONG
        if heavy and clear:
            return f"enough to say heavy, and to say clear ({missed}, {unseen})"
        if heavy:
            return f"enough to say heavy, not to say clear ({missed}, {unseen})"
        if clear:
            return f"enough to say clear, not to say heavy ({missed}, {unseen})"
        return f"not enough to say heavy or clear ({missed}, {unseen})"


def ten_leaves(life: LifeFigures, stand: Stand, day: int) -> TenLeaves:
    """What a look at ten leaves (or plants) of one planting on a day can tell.

    By the same clumping, eyes and error of a look as belief uses; what is counted is taken to be
    of the counted stages in equal parts.
    """
    action = life.habits.action.value if life.habits.action else 1.0
    usual, heavy, few = (_shown(life, stand, day, action * times) for times in (1.0, HEAVY, CLEAR))
    light = max(np.ceil(usual), 1.0) - 1  # what cannot be seen at all is never told heavy
    return TenLeaves(float(at_most(heavy, light, LEAVES)), float(at_most(few, 0, LEAVES)))


def _shown(life: LifeFigures, stand: Stand, day: int, number: float) -> float:
    """Insects seen on ten leaves where so many of the counted stages sit on one."""
    counted = np.array([stage.startswith(life.habits.counted) for stage in life.stages])
    units, _ = units_of(life, stand, day, tapped=is_tapped(life, stand))
    there = np.where(counted, number * units / counted.sum(), 0.0)[None]
    look = coming_look(life, (stand,), 0, day, there, np.ones(1), LEAVES)
    return float(look.expected[0])


def _in_hundred(chance: float) -> str:
    if chance < 0.005:
        return "hardly any"
    return f"{100 * chance:.0f} in 100"
