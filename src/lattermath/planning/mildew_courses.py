"""Courses against powdery mildew: series of one material beside none, on the same futures."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.mildew_clusters import MildewApplication, MildewBelief, mildew_reach
from lattermath.belief.mildew_effect import MildewEffect
from lattermath.planning.course_search import Candidate, Permits, Step
from lattermath.science.leaf_mildew import TOP, UNDERSIDE
from lattermath.vocabulary.plan import CourseStep, Population, Span, Strip
from lattermath.vocabulary.ruling import Because

FloatArray = NDArray[np.float64]

MOST_USES = 4  # judgement: after that the season decides
GAPS_D = (5, 7, 10, 14)  # usual intervals between treatments (common practice)
STRIP_TAIL_DAYS = 14
ILL = 0.0005  # severity from which a planting is treated as ill
SAVES_LITTLE = 0.1  # share of the damage saved below which a course is called a delay


@dataclass(frozen=True, slots=True, eq=False)
class MildewTask:
    """What is asked: `portions` yet to come from each planting, (n_plantings,).

    visits      : days counted as in the belief, rising.
    effects     : by candidate key.
    loss        : share of the yield lost at a mean severity of 1. [1]
    minute_cost : of a minute at the plot. [portions/min]
    when        : share of each planting's yield that comes on each day from today on,
                  (n_plantings, n_days); None: evenly.
    """

    belief: MildewBelief
    visits: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    effects: Mapping[str, MildewEffect]
    permits: Permits
    portions: FloatArray
    loss: float
    minute_cost: float
    when: FloatArray | None = None


@dataclass(frozen=True, slots=True, eq=False)
class MildewFound:
    """The best series, severities with and without it, and what each choice costs in portions."""

    steps: tuple[Step, ...]
    cost: float
    cost_of_nothing: float
    with_it: FloatArray
    without: FloatArray
    refused: tuple[Because, ...] = ()


def search_mildew_course(task: MildewTask) -> MildewFound:
    """The best series of one material among all starts, intervals and lengths, or none.

    A mildew course is a rhythm, so rhythms are what is tried: every candidate, first visit and
    usual interval, kept to the visits and to the rulings.
    """
    bars: list[Because] = []
    nothing = task.belief.ahead()
    best: tuple[tuple[Step, ...], float, FloatArray] = ((), _damage(task, nothing), nothing)
    cost_of_nothing = best[1]
    for steps in _series(task, bars):
        run = task.belief.ahead(_applications(task, steps))
        cost = _damage(task, run) + _work(task, steps)
        if cost < best[1] - 1e-9:
            best = (steps, cost, run)
    return MildewFound(
        best[0], best[1], cost_of_nothing, best[2], nothing, tuple(dict.fromkeys(bars))
    )


def _series(task: MildewTask, bars: list[Because]) -> list[tuple[Step, ...]]:
    """Every series worth trying, once each: on all plantings that are ill, and on each alone."""
    found: dict[tuple[object, ...], tuple[Step, ...]] = {}
    ill = _ill(task)
    starts = range(min(3, len(task.visits)))
    for candidate, start, gap in itertools.product(task.candidates, starts, GAPS_D):
        for among in [ill, *([place] for place in ill)]:
            steps = _one_series(task, candidate, start, gap, among, bars)
            for uses in range(1, len(steps) + 1):
                part = steps[:uses]
                found[(candidate.key, *((s.visit, s.places) for s in part))] = part
    return list(found.values())


def _one_series(
    task: MildewTask,
    candidate: Candidate,
    start: int,
    gap: int,
    among: Sequence[int],
    bars: list[Because],
) -> tuple[Step, ...]:
    """Use one material from a visit on, whenever its interval is over and the rulings permit."""
    steps: tuple[Step, ...] = ()
    due = task.visits[start]
    for visit, day in enumerate(task.visits):
        if day < due or len(steps) >= MOST_USES:
            continue
        places = []
        for place in among:
            key = task.belief.stands[place].key
            ruled = task.permits(candidate, visit, key, steps)
            if visit == 0:
                bars.extend(ruled.bars)
            if ruled.allowed:
                places.append(place)
        if places:
            steps = (*steps, Step(visit, candidate, tuple(places)))
            due = day + gap
    return steps


def _ill(task: MildewTask) -> list[int]:
    """Own plantings that show mildew, or soon will."""
    shown = np.median(task.belief.state.max(-1), axis=0)
    stands = task.belief.stands
    return [p for p in range(len(stands)) if stands[p].treatable and shown[p] >= ILL]


def _applications(task: MildewTask, steps: Sequence[Step]) -> list[MildewApplication]:
    made = []
    for step in steps:
        effect = task.effects[step.candidate.key]
        reach = mildew_reach(effect, step.candidate.surfaces, step.candidate.coverage)
        made.append(MildewApplication(task.visits[step.visit], effect, step.places, reach))
    return made


def _damage(task: MildewTask, run: FloatArray) -> float:
    """Portions lost: loss per unit of severity, on the days on which the planting bears."""
    severity = run[:, :, 1:].mean(3)
    n_days = severity.shape[2]
    when = np.full((1, n_days), 1 / n_days) if task.when is None else task.when
    lost = (np.minimum(severity * task.loss, 1.0) * when).sum(2)
    return float((lost * task.portions).sum(1).mean())


def _work(task: MildewTask, steps: Sequence[Step]) -> float:
    total = 0.0
    for step in steps:
        ground = sum(task.belief.stands[p].area_m2 for p in step.places)
        minutes = step.candidate.minutes_once + step.candidate.minutes * ground
        total += minutes * task.minute_cost + step.candidate.hazard * len(step.places)
    return total


def yield_kept_by_leaf(run: FloatArray, place: int, loss: float) -> FloatArray:
    """Share of the yield kept on each coming day, (n_draws, n_days). [0 to 1]"""
    severity = run[:, place, 1:].mean(-1)
    return np.asarray(1.0 - np.minimum(severity * loss, 1.0))


def mildew_population(
    belief: MildewBelief, found: MildewFound, visits: Sequence[date], today: date, name: str
) -> Population:
    """What the sheet says of a mildew and its course; visits are dates."""
    last = min((visits[-1] - today).days + STRIP_TAIL_DAYS, int(found.with_it.shape[2]) - 1)
    worst = int(np.median(belief.state.max(-1), axis=0).argmax())
    share = found.with_it[:, :, last].mean((1, 2)) / found.without[:, :, last].mean((1, 2))
    low, middle, high = (float(q) for q in np.quantile(share, [0.1, 0.5, 0.9]))
    events = tuple(f"event:{serial}" for serial in belief.serials)
    return Population(
        belief.disease.id,
        tuple(stand.key for stand in belief.stands),
        _says(belief, worst, name),
        _strips(found, worst, today, last),
        tuple(_course_step(step, belief, visits) for step in found.steps),
        _course_says(found, last),
        Span(low, middle, high, "share of untreated"),
        because=(
            Because("what was seen, weighed against the weather since", rests_on=events),
            *found.refused,
        ),
    )


def _says(belief: MildewBelief, worst: int, name: str) -> str:
    top, below = (
        np.quantile(belief.state[:, worst, side], [0.1, 0.5, 0.9]) * 100
        for side in (TOP, UNDERSIDE)
    )
    return (
        f"{name[:1].upper()}{name[1:]}: most on {belief.stands[worst].name}, about "
        f"{top[1]:.0f} % of the leaf on top ({top[0]:.0f} to {top[2]:.0f}) and {below[1]:.0f} % "
        "underneath."
    )


def _course_says(found: MildewFound, last: int) -> str:
    if not found.steps:
        return "Nothing that may be used is worth its work now. Look again at the next visit."
    saved = 1 - found.cost / max(found.cost_of_nothing, 1e-9)
    tops, below = (np.median(found.with_it[:, :, last, side]) for side in (TOP, UNDERSIDE))
    more = "; it goes on underneath" if below > 1.3 * tops else ""
    word = "delay" if saved < SAVES_LITTLE else "slow"
    visits = len({step.visit for step in found.steps})
    times = "One treatment" if visits == 1 else f"Treating at {visits} visits"
    verb = f"{word}s"
    return f"{times} {verb} it and does not end it{more}. New leaf is bare between treatments."


def _strips(found: MildewFound, worst: int, today: date, last: int) -> tuple[Strip, ...]:
    days = tuple(today + timedelta(days=n) for n in range(last + 1))
    strips = []
    for name, side in (("tops", TOP), ("undersides", UNDERSIDE)):
        with_it = found.with_it[:, worst, : last + 1, side] * 100
        low, middle, high = np.quantile(with_it, [0.1, 0.5, 0.9], axis=0)
        without = np.median(found.without[:, worst, : last + 1, side] * 100, axis=0)
        strips.append(
            Strip(
                name,
                days,
                tuple(middle.tolist()),
                tuple(low.tolist()),
                tuple(high.tolist()),
                tuple(without.tolist()),
                "% of the leaf",
            )
        )
    return tuple(strips)


def _course_step(step: Step, belief: MildewBelief, visits: Sequence[date]) -> CourseStep:
    return CourseStep(
        visits[step.visit],
        step.candidate.method,
        step.candidate.product,
        tuple(belief.stands[p].key for p in step.places),
        f"{step.candidate.name}, both sides of the leaves",
    )
