"""Is it worth while to wait for a second look, or for a later visit, before plants are given up?

A planting taken out is gone; one that stays can be taken out at the next visit, and will have been
looked at once more by then. What that is worth is reckoned before the look is taken, on the draws:
each draw says how likely each word on the planting is at the next visit, and under each word the
best of what is still open then is chosen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.vigour_seen import said, worn_looks

if TYPE_CHECKING:
    from lattermath.planning.fates import Choices

Draws = NDArray[np.float64]
Words = NDArray[np.float64]  # (n_draws, n_words): how likely each draw makes each word

LONGEST_DAYS = 28  # judgement: what lies further off is decided when it is nearer
NEAR, STRIDE = 4, 3  # the next four visits are weighed, and of those after them every third


@dataclass(frozen=True, slots=True, eq=False)
class Waited:
    """What waiting is worth. [portions]

    value : mean worth of waiting and then doing the best that is known after the second look.
    plain : place of what is best to wait for if that look says nothing new.
    turns : chance that the look turns it.
    """

    value: float
    plain: int
    turns: float


def later_visits(choices: Choices) -> tuple[int, ...]:
    """Columns of the visits to which replacing may be put off: the nearest, then every third."""
    after = [v for v in choices.visits[1:] if v - choices.visits[0] <= LONGEST_DAYS]
    return (*after[:NEAR], *after[NEAR::STRIDE])


def words_at(choices: Choices, visit: int) -> Words:
    """How likely each word on the planting is at a visit, in each draw."""
    belief = choices.belief
    column = min(visit, belief.age.shape[1] - 1)
    rng = choices.dice(f"second look {belief.planting.key}")
    looks = worn_looks(belief.traits, belief.unknowns, belief.age[:, column], rng)
    ill = belief.condition.bears * (1 - belief.condition.declines) ** (visit - choices.today)
    return said(looks * ill)


def waited(values: Sequence[Draws], words: Words) -> Waited:
    """The worth of waiting, with what stays open then on the same draws.

    values : worth of each way that stays open, (n_draws,) each. [portions]
    words  : how likely each draw makes each word at the second look, (n_draws, n_words).

    What is best under a word is chosen on one half of the draws and valued on the other, both ways
    round, so that no luck of the draws is counted as knowledge. A look never makes it worse.
    """
    table = np.asarray(values)
    plain = int(table.mean(1).argmax())
    halves = np.arange(table.shape[1]) % 2
    value = turns = 0.0
    for half in (0, 1):
        learnt, asked = halves == half, halves != half
        best = (table[:, learnt] @ words[learnt]).argmax(0)  # (n_words,)
        mean = table[:, asked] @ words[asked] / asked.sum()  # (n_ways, n_words)
        value += float(mean[best, np.arange(len(best))].sum()) / 2
        turns += float(words[asked][:, best != plain].sum(1).mean()) / 2
    return Waited(max(value, float(table[plain].mean())), plain, turns)
