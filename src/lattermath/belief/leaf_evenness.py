"""How evenly the counts of one look lie over its leaves, beside what the law of clumping says.

The law is one for all kinds and plantings. Where a count was written down leaf by leaf, these
numbers themselves say how clumped the insects were that day: ten leaves of four to six make a total
that stands firmer than the law says. Leaves more uneven than the law are taken by the law, and so
are few insects (decision 0062).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import special

from lattermath.belief.count_likelihood import clumping

# Judgement: of what one look has wrong in common the part that is the grower's evening: light, eyes
# and hurry, log scale. The rest is that the leaves came from some part of the planting.
EVENING_SD = 0.2

# Judgement: how kinds, days and plantings lie about the law, log scale. Printed laws for these
# kinds on leaves are recalled with 2 to 9 where the law has 8 (memory, decision 0036).
EVENNESS_SD = 0.7
STEPS = np.linspace(-4.0, 4.0, 17)
MOST_EVEN = 1e6  # as good as endless: leaves say nothing beyond chance
LEAST_A_LEAF = 1.0  # judgement: fewer may all be the edge of a colony that was not turned up


def evenness_of(counts: Sequence[int]) -> float:
    """Clumping k of these leaves as a multiple of the law's, 1 at least and where they do not tell.

    Given their total, negative binomial counts of one mean follow the Dirichlet-multinomial law,
    in which the mean is no more (Johnson, Kotz and Balakrishnan, memory); what is given is the
    geometric middle of what is likely after them.
    """
    leaf, total = np.asarray(counts, dtype=np.float64), float(sum(counts))
    if len(leaf) < 2 or total < LEAST_A_LEAF * len(leaf):
        return 1.0
    away = EVENNESS_SD * STEPS
    k = float(clumping(total / len(leaf))) * np.exp(away)
    each = special.gammaln(leaf[:, None] + k) - special.gammaln(k)
    whole = special.gammaln(len(leaf) * k) - special.gammaln(total + len(leaf) * k)
    weight = special.softmax(whole + each.sum(0) - STEPS**2 / 2)
    return max(float(np.exp(weight @ away)), 1.0)


def within_planting(evenness: float, share: float) -> float:
    """The same where that share of a planting's leaves, or plants, was looked at. [0 to 1]

    Who looks at all of them counts what there is, and how they differ says nothing more: leaves
    not looked at twice have a variance of sampling that is 1 - share of what it would be among
    endless leaves (finite population correction, Cochran, memory). A share of 1 gives `MOST_EVEN`.
    """
    return min(evenness / max(1.0 - share, evenness / MOST_EVEN), MOST_EVEN)


def look_error(spread: float, evenness: float) -> float:
    """What a look has wrong in common over its leaves where they were so even, log scale.

    Where the leaves differ little, so will parts of the planting: what hangs on where one looked
    goes down as the clumping does.

    spread : of leaves that are clumped as the law says.
    """
    evening = min(EVENING_SD, spread)
    return float(np.sqrt(evening**2 + (spread**2 - evening**2) / evenness))
