"""Is there somebody to water what is set out or sown, until its roots find water themselves?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

FIRST_DAYS = 14  # judgement: until then the roots are where the cup was
# Judgement: shaded plants in moist ground stand so long in summer. A grower who never comes oftener
# than that knows the plot, and is barred only by a gap longer than the usual one.
DRY_DAYS = 5


def is_watered(visits: Sequence[int], begins: int, *, last: int) -> bool:
    """Tell whether what begins on one column is watered often enough in its first two weeks.

    visits : columns of the coming visits, rising, absences left out.
    last   : last column that is planned; beyond it nobody knows of an absence.
    """
    until = min(begins + FIRST_DAYS, last)
    after = [visit for visit in visits if visit > begins]
    gaps = []
    before = begins
    for visit in after:
        if before >= until:
            break
        gaps.append(visit - before)
        before = visit
    if before < until and not any(visit >= until for visit in after):
        gaps.append(until - before)
    return max(gaps, default=0) <= max(DRY_DAYS, usual_gap(visits))


def usual_gap(visits: Sequence[int]) -> int:
    """The gap that eight in ten of a grower's gaps do not exceed. [d]"""
    gaps = sorted(later - sooner for sooner, later in pairwise(visits))
    if not gaps:
        return 0
    return gaps[int(0.8 * (len(gaps) - 1))]
