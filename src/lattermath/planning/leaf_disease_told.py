"""What the sheet says of a leaf disease and its course, and what its leaves still give."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_disease import LeafBelief
from lattermath.planning.choices_told import (
    BARRED,
    NOTHING_ON_HAND,
    Asked,
    nothing_said,
    others_told,
)
from lattermath.planning.course_task import Step
from lattermath.planning.leaf_disease_courses import STRIPS, LeafFound, ill_places
from lattermath.planning.strips import strip
from lattermath.science.leaf_disease import TOP, UNDERSIDE
from lattermath.science.leaf_loss import LeafLoss
from lattermath.science.logistic_growth import delay_by_removal
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import CourseStep, Population, Span
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.season_series import Strip
from lattermath.vocabulary.sentence import capital

FloatArray = NDArray[np.float64]

STRIP_TAIL_DAYS = 14
WORST_LEAF = "% of the leaf, where it is worst"
DELAY_DAYS = 14  # judgement: weather of the coming fortnight sets the pace of a delay
LOOK_AGAIN = "Look again at the next visit."
LEAST_SAID = 0.5  # what rounds to one in a hundred [%]
SAVES_LITTLE = 0.1  # share of the damage saved below which a course is called a delay


def yield_kept_by_leaf(run: FloatArray, place: int, loss: LeafLoss) -> FloatArray:
    """Share of the yield kept on each coming day, (n_draws, n_days). [0 to 1]"""
    severity = run[:, place, 1:].mean(-1)
    return np.asarray(1.0 - loss.lost(severity))


def leaf_population(
    belief: LeafBelief,
    found: LeafFound,
    visits: Sequence[date],
    today: date,
    name: str,
    against: Sequence[str] = (),
    asked: Asked | None = None,
) -> Population:
    """What the sheet says of a leaf disease and its course; visits are dates.

    against : names of what else is treated with something that takes of it too.
    asked   : the search as it was asked, so that what has no price says why.
    """
    last = min((visits[-1] - today).days + STRIP_TAIL_DAYS, int(found.with_it.shape[2]) - 1)
    worst = worst_leaf_place(belief)
    share = found.with_it[:, :, last].mean((1, 2)) / found.without[:, :, last].mean((1, 2))
    low, middle, high = (float(q) for q in np.quantile(share, [0.1, 0.5, 0.9]))
    events = tuple(f"event:{serial}" for serial in belief.serials)
    return Population(
        belief.disease.id,
        tuple(stand.key for stand in belief.stands),
        _says(belief, worst, name),
        _strips(found, worst, today, last),
        tuple(_course_step(step, belief, visits) for step in found.steps),
        _course_says(belief, found, last, against, asked),
        Span(low, middle, high, "share of untreated"),
        because=(
            Because("what was seen, weighed against the weather since", rests_on=events),
            *others_told(found, None if _late_for_all(belief, found) else asked),
            *found.too_late,
            *found.refused,
        ),
    )


def worst_leaf_place(belief: LeafBelief) -> int:
    """The planting on which most of the leaf is believed ill, by its place among the hosts."""
    return int(np.median(belief.state.max(-1), axis=0).argmax())


def _says(belief: LeafBelief, worst: int, name: str) -> str:
    top, below = (
        np.quantile(belief.state[:, worst, side], [0.1, 0.5, 0.9]) * 100
        for side in (TOP, UNDERSIDE)
    )
    tops = _per_cent(top[1])
    return (
        f"{capital(name)}: most on {belief.stands[worst].name}, "
        f"{tops if tops.startswith('under') else f'about {tops}'} of the leaf on top "
        f"({top[0]:.0f} to {top[2]:.0f}) and {_per_cent(below[1])} underneath "
        f"({below[0]:.0f} to {below[2]:.0f}).{_threshold(belief)}"
    )


def _per_cent(share: float) -> str:
    """A share of the leaf; what is there and rounds to nothing is not told as none. [%]"""
    return "under 1 %" if 0 < share < LEAST_SAID else f"{share:.0f} %"


def _threshold(belief: LeafBelief) -> str:
    """The share of leaves from which growers treat; it is not the plan's."""
    share = belief.disease.scout_threshold
    if share is None or not share.value > 0:
        return ""
    return (
        f" Growers often begin when 1 old leaf in {round(1 / share.value)} has a colony; the plan "
        "weighs this plot instead."
    )


def _course_says(
    belief: LeafBelief,
    found: LeafFound,
    last: int,
    against: Sequence[str],
    asked: Asked | None,
) -> str:
    beside = f"It is treated with the course against {' and '.join(against)}. " if against else ""
    if not found.steps and _late_for_all(belief, found):
        more = "Nothing more pays" if against else "Treatment no longer pays"
        return f"{beside}{more}: {found.too_late[0].says}."
    if not found.steps and against:
        return f"{beside}Nothing more is worth its work."
    if not found.steps:
        return _nothing_says(found.cost_of_nothing, asked)
    if found.steps[0].candidate.method == STRIPS:
        return _stripping_says(belief, found)
    saved = 1 - found.cost / max(found.cost_of_nothing, 1e-9)
    tops, below = (np.median(found.with_it[:, :, last, side]) for side in (TOP, UNDERSIDE))
    more = "; it goes on underneath" if below > 1.3 * tops else ""
    word = "delay" if saved < SAVES_LITTLE else "slow"
    visits = len({step.visit for step in found.steps})
    times = "One treatment" if visits == 1 else f"Treating at {visits} visits"
    verb = f"{word}s"
    return f"{times} {verb} it and does not end it{more}. New leaf is bare between treatments."


def _late_for_all(belief: LeafBelief, found: LeafFound) -> bool:
    """Whether no planting that is ill can gain any more; one that can has another reason."""
    return len(found.too_late) >= max(len(ill_places(belief)), 1)


def _nothing_says(cost: float, asked: Asked | None) -> str:
    """Why nothing is used, for the one reason that the prices beside it give too.

    cost : of leaving it alone. [portions]
    """
    alone = f"left alone it costs {nothing_said(cost, asked)}"
    why = "" if asked is None else asked.why_not(range(len(asked.visits)))
    if why == NOTHING_ON_HAND:
        return f"Nothing on hand takes of it; {alone}. {LOOK_AGAIN}"
    if why == BARRED:
        return f"Nothing that takes of it may be used; {alone}. {LOOK_AGAIN}"
    return (
        f"Treatment does not pay now: {alone}, and what may be used is not worth its work. "
        f"{LOOK_AGAIN}"
    )


def _stripping_says(belief: LeafBelief, found: LeafFound) -> str:
    """Leaves taken off buy days and end nothing."""
    coming = belief.response[..., belief.today : belief.today + DELAY_DAYS].mean((1, 2))
    pace = belief.unknowns.rate * np.maximum(coming, 0.05)
    gained = [delay_by_removal(found.stripped, float(rate)) for rate in pace]
    low, high = (round(float(q)) for q in np.quantile(gained, [0.25, 0.75]))
    days = counted(low, "days") if low == high else f"{low} to {high} days"
    return f"Taking off the worst leaves sets it back about {days} each time and does not end it."


def _strips(found: LeafFound, worst: int, today: date, last: int) -> tuple[Strip, ...]:
    return tuple(
        strip(
            name,
            today,
            found.with_it[:, worst, : last + 1, side] * 100,
            found.without[:, worst, : last + 1, side] * 100,
            WORST_LEAF,
        )
        for name, side in (("tops", TOP), ("undersides", UNDERSIDE))
    )


def _course_step(step: Step, belief: LeafBelief, visits: Sequence[date]) -> CourseStep:
    return CourseStep(
        visits[step.visit],
        step.candidate.method,
        step.candidate.product,
        tuple(belief.stands[p].key for p in step.places),
        f"{step.candidate.name}, both sides of the leaves",
    )
