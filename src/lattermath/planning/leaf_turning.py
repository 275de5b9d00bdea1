"""How much of the leaf would have to be ill for a course against its disease to begin to pay."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lattermath.belief.leaf_disease import LeafBelief
from lattermath.planning.leaf_disease_courses import (
    LeafFound,
    LeafTask,
    cost_of_series,
    searched_few,
)
from lattermath.planning.turning import COUNT, MOST_TIMES, where_it_pays
from lattermath.vocabulary.plan import Turn

MOST_ILL = 0.95  # of a surface; more is not to be had by multiplying


def severity_turn(task: LeafTask, found: LeafFound) -> Turn | None:
    """The severity today at which a course begins or ceases to pay; None where there is none.

    The course found, or else the best that was weighed, is run beside nothing on a few common
    draws with so many times the colonies and latent infections of today; what flies in stays.
    """
    steps = found.steps or found.next_best
    belief = task.belief
    if not steps:
        return None
    shown = np.median(belief.state.mean(-1), axis=0) * 100
    worst = int(shown.argmax())
    # What is believed is told by side; a course turns by the two together.
    unit = f"% of the leaf (mean of both sides) on {belief.stands[worst].name}"
    number = float(shown[worst])
    if number <= 0:
        return None
    few = searched_few(task)

    def saves(times: float) -> float:
        asked = replace(few, belief=_times(few.belief, times))
        return cost_of_series(asked, ()) - cost_of_series(asked, steps)

    most = min(number * MOST_TIMES, 100.0 * MOST_ILL)
    turn = Turn(COUNT, number, None, unit, number / MOST_TIMES, most)
    times = where_it_pays(saves, below=bool(found.steps))
    if times is None:
        return turn
    would = "no treatment" if found.steps else "treatment"
    return replace(turn, at=min(number * times, most), turns_to=would)


def _times(belief: LeafBelief, times: float) -> LeafBelief:
    """So many times what is on the leaf and in it; never more than there is leaf."""
    seen = np.minimum(belief.state * times, MOST_ILL)
    room = np.maximum(MOST_ILL - seen, 0.0)
    hidden = belief.hidden * times
    fits = np.minimum(1.0, room / np.maximum(hidden.sum(-1), 1e-12))
    return replace(belief, state=seen, hidden=hidden * fits[..., None])
