"""What a look is worth before it is taken: the fall in cost of what is done, once one knows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

SUMS_TO_ONE = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class SampleWorth:
    """The expected value of sample information, and what would be done after each outcome.

    worth       : fall of the expected cost of the best choice, never below 0; unit of the costs.
    perfect     : the same if the truth itself were shown; no look is worth more.
    before      : choice that is best without the look.
    after       : choice that is best after each outcome, (n_outcomes,).
    probability : of each outcome, (n_outcomes,). [0 to 1]
    """

    worth: float
    perfect: float
    before: int
    after: NDArray[np.int64]
    probability: FloatArray

    @property
    def would_change(self) -> float:
        """Chance that after the look something else is done than without it. [0 to 1]"""
        return float(self.probability[self.after != self.before].sum())


def worth_of_sample(costs: ArrayLike, chances: ArrayLike) -> SampleWorth:
    """Worth of an observation whose outcome has a known chance under each draw of the truth.

    costs   : of each choice in each draw, draws weighing alike, (n_draws, n_choices).
    chances : of each outcome in each draw, rows sum to 1, (n_draws, n_outcomes). [0 to 1]

        worth = min_c E[cost_c] - sum_y min_c E[cost_c P(y)]

    the expectations being means over the draws. The draws are taken for the whole prior, so the
    sum over outcomes is exact and needs no throws; few draws beside sharp outcomes make it high.

    Source: preposterior analysis of decision theory (textbook; form derived here).
    """
    cost, chance = np.asarray(costs, dtype=np.float64), np.asarray(chances, dtype=np.float64)
    if cost.ndim != 2 or chance.ndim != 2 or len(cost) != len(chance) or not cost.size:
        raise ValueError("costs and chances must be tables with one row a draw")
    if np.any(chance < 0) or np.any(np.abs(chance.sum(1) - 1) > SUMS_TO_ONE):
        raise ValueError("the chances of each draw must sum to 1")
    usual = cost.mean(axis=0)
    told = chance.T @ cost / len(cost)  # (n_outcomes, n_choices): cost where that is seen
    before = int(usual.argmin())
    best = told.min(axis=1)
    # A choice no worse than the one at hand is no reason to change.
    after = np.where(told[:, before] <= best + 1e-12, before, told.argmin(axis=1))
    return SampleWorth(
        max(float(usual[before] - best.sum()), 0.0),
        max(float(usual[before] - cost.min(axis=1).mean()), 0.0),
        before,
        after,
        chance.mean(axis=0),
    )
