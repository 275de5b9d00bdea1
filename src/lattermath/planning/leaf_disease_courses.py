"""Courses against a leaf disease: series of one material beside none, on the same futures."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_covers import LeafApplication, leaf_reach
from lattermath.belief.leaf_disease import LeafAhead, LeafBelief, evenly
from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.planning.common_draws import SEARCH_DRAWS
from lattermath.planning.course_task import (
    FINALISTS,
    LEAST_TOLD,
    Alternative,
    Candidate,
    Permits,
    Step,
    alternatives,
)
from lattermath.planning.leaf_disease_pays import StillPays
from lattermath.planning.steps_allowed import allowed
from lattermath.science.leaf_loss import LeafLoss
from lattermath.vocabulary.ruling import Because

FloatArray = NDArray[np.float64]

MOST_USES = 4  # judgement: after that the season decides
MORE = 2  # judgement: single treatments more, of any material, beside a rhythm of one
GAPS_D = (5, 7, 10, 14)  # usual intervals between treatments (common practice)
STRIPS = "prune_leaves"
LAST_OF_YIELD = 0.05  # judgement: the last twentieth is not waited for
ILL = 0.0005  # severity from which a planting is treated as ill


@dataclass(frozen=True, slots=True, eq=False)
class LeafTask:
    """What is asked: `portions` yet to come from each planting, (n_plantings,).

    visits      : days counted as in the belief, rising.
    effects     : by candidate key.
    loss        : yield lost by severity.
    pays        : until when and how much treatment can pay; None: not asked.
    minute_cost : of a minute at the plot. [portions/min]
    when        : share of each planting's yield that comes on each day from today on,
                  (n_plantings, n_days); None: evenly.
    taken       : candidate, visit and place that are done anyway, against something else.
    besides     : what the insects on these plantings cost under a series; None: not asked. It is
                  asked of the finalists only. [portions]
    barred      : what the pickings that some steps bar cost; None: not asked. [portions]
    comes_off   : places whose leaf is cut and carried off, so that nothing put on it matters.
    left        : share of each planting's yield that all else that lives there leaves, (n_draws,
                  n_plantings, n_days); None: all of it. [0 to 1]
    """

    belief: LeafBelief
    visits: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    effects: Mapping[str, LeafEffect]
    permits: Permits
    portions: FloatArray
    loss: LeafLoss
    minute_cost: float
    when: FloatArray | None = None
    pays: StillPays | None = None
    taken: frozenset[tuple[str, int, int]] = frozenset()
    besides: Callable[[tuple[Step, ...]], float] | None = None
    barred: Callable[[Sequence[Step]], float] | None = None
    comes_off: frozenset[int] = frozenset()
    left: FloatArray | None = None

    _ahead: list[LeafAhead] = field(default_factory=list, repr=False)

    def run(self, steps: Sequence[Step] = ()) -> FloatArray:
        """Severities under a series, as of `LeafBelief.ahead`; what is tried again is kept."""
        held = next((one for one in self._ahead if one.belief is self.belief), None)
        if held is None:
            held = LeafAhead.of(self.belief)
            self._ahead[:] = [held]
        return held.run(applications_of(self, steps))

    def lost_picks(self, steps: Sequence[Step]) -> float:
        """What the pickings that a series bars cost. [portions]"""
        return 0.0 if self.barred is None or not steps else self.barred(steps)

    def cost_besides(self, steps: tuple[Step, ...]) -> float:
        """What the insects on these plantings cost under a series. [portions]"""
        return 0.0 if self.besides is None else self.besides(steps)


@dataclass(frozen=True, slots=True, eq=False)
class LeafFound:
    """The best series, severities with and without it, and what each choice costs in portions.

    Costs are those of the disease, of its own work and of the pickings this bars, whatever was
    asked besides.
    """

    steps: tuple[Step, ...]
    cost: float
    cost_of_nothing: float
    with_it: FloatArray
    without: FloatArray
    refused: tuple[Because, ...] = ()
    too_late: tuple[Because, ...] = ()  # why treatment no longer pays
    loss: LeafLoss = field(default_factory=lambda: LeafLoss(1.0))
    stripped: float = 0.0  # share of the disease that taking off leaves takes away
    next_best: tuple[Step, ...] = ()  # of the courses weighed, where none is found worth its work
    alternatives: tuple[Alternative, ...] = ()  # what else was weighed, and how much worse it is


def search_leaf_course(task: LeafTask) -> LeafFound:
    """The best series of one material among all starts, intervals and lengths, or none.

    Such a course is a rhythm, so rhythms are what is tried: every candidate, first visit and
    usual interval, kept to the visits and to the rulings; the best few on all draws. Where a label
    ends a rhythm early, another material may go on: single treatments more are tried at last.
    Doing nothing, beginning now, and waiting for a look at the next visit are always priced.
    """
    bars: list[Because] = []
    ill, too_late = _worth_treating(task)
    best = _weighed(task, ())
    weighed: dict[tuple[Step, ...], _Weighed] = {(): best}
    few = searched_few(task)
    leaders = _leaders(task, few, _series(task, ill, bars))
    for _ in range(1 + MORE):
        before = best
        for steps in leaders:
            weighed[steps] = one = _weighed(task, steps)
            best = one if one.in_all < best.in_all - 1e-9 else best
        if best is before:
            break
        leaders = _longer(few, best.steps, ill)
    hands = task.effects.get(STRIPS)
    worked = [one for one in weighed.values() if one.steps]
    return LeafFound(
        best.steps,
        best.cost,
        weighed[()].cost,
        best.run,
        weighed[()].run,
        tuple(dict.fromkeys(bars)),
        too_late,
        task.loss,
        0.0 if hands is None else float(np.mean([side[1] for side in hands.cure])),
        min(worked, key=lambda one: one.in_all).steps if worked else (),
        alternatives({steps: one.draws for steps, one in weighed.items()}, best.steps),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Weighed:
    """One series on all draws.

    cost  : damage, work and barred pickings, mean over the draws. [portions]
    draws : the same in each draw with what the insects cost besides, (n_draws,). [portions]
    """

    steps: tuple[Step, ...]
    run: FloatArray
    cost: float
    draws: FloatArray

    @property
    def in_all(self) -> float:
        """Everything, mean over the draws. [portions]"""
        return float(self.draws.mean())


def _weighed(task: LeafTask, steps: tuple[Step, ...]) -> _Weighed:
    run = task.run(steps)
    own = damage_in_draws(task, run) + work_of_series(task, steps) + task.lost_picks(steps)
    return _Weighed(steps, run, float(own.mean()), own + task.cost_besides(steps))


def searched_few(task: LeafTask) -> LeafTask:
    """The task on the draws that are searched."""
    left = None if task.left is None else task.left[evenly(len(task.left), SEARCH_DRAWS)]
    return replace(task, belief=task.belief.thinned(SEARCH_DRAWS), left=left, _ahead=[])


def cost_of_series(task: LeafTask, steps: Sequence[Step]) -> float:
    """Damage, work and barred pickings of a series, mean over all draws. [portions]"""
    work = work_of_series(task, steps) + task.lost_picks(steps)
    return damage_of_run(task, task.run(steps)) + work


def told_again(task: LeafTask, found: LeafFound) -> LeafFound:
    """The same series on a task with other work counted: severities and costs anew."""
    return _among(task, found, found.steps)


def cheaper_of(task: LeafTask, found: LeafFound, other: tuple[Step, ...]) -> LeafFound:
    """What was found, or another series if everything together costs less with it."""
    gained = _weighed(task, found.steps).in_all - _weighed(task, other).in_all
    return _among(task, found, other) if gained > 1e-9 else found


def or_nothing(task: LeafTask, found: LeafFound) -> LeafFound:
    """What was found, or doing nothing where that is no worse by as much as would be told."""
    idle = next((one for one in found.alternatives if not one.steps), None)
    return found if idle is None or idle.cost >= LEAST_TOLD else _among(task, found, ())


def _among(task: LeafTask, found: LeafFound, best: tuple[Step, ...]) -> LeafFound:
    """One series as the best of all that were weighed."""
    others = (one.steps for one in found.alternatives)
    every = dict.fromkeys((best, (), found.steps, *others))
    weighed = {steps: _weighed(task, steps) for steps in every}
    return replace(
        found,
        steps=best,
        cost=weighed[best].cost,
        cost_of_nothing=weighed[()].cost,
        with_it=weighed[best].run,
        without=weighed[()].run,
        next_best=best or found.next_best,
        alternatives=alternatives({k: one.draws for k, one in weighed.items()}, best),
    )


def _longer(few: LeafTask, steps: tuple[Step, ...], ill: Sequence[int]) -> list[tuple[Step, ...]]:
    """The course with the one treatment more that gains most on a part of the draws, if any."""
    if not steps:
        return []
    has = {(s.candidate.key, s.visit) for s in steps}
    found, least = [], cost_of_series(few, steps)
    for candidate, visit in itertools.product(few.candidates, range(len(few.visits))):
        used = sum(step.candidate.key == candidate.key for step in steps)
        if (candidate.key, visit) in has or used >= candidate.most_uses:
            continue
        for among in dict.fromkeys([tuple(ill), *((place,) for place in ill)]):
            more = (*steps, Step(visit, candidate, among))
            longer = tuple(sorted(more, key=lambda step: step.visit))
            if allowed(few, longer) and (cost := cost_of_series(few, longer)) < least:
                found, least = [longer], cost
    return found


def _leaders(
    task: LeafTask, few: LeafTask, series: Sequence[tuple[Step, ...]]
) -> list[tuple[Step, ...]]:
    """The few best series on a part of the draws; the others are not worth all of them.

    The best that begins now and the best that waits are among them. Where others are asked besides,
    the best of each material and first visit are too: what one takes of an insect is not known yet.
    """
    cost = [cost_of_series(few, steps) for steps in series]
    order = sorted(range(len(series)), key=lambda n: cost[n])
    first = order[:FINALISTS]
    for now in (True, False):
        of_kind = (n for n in order if (series[n][0].visit == 0) is now)
        first += [n for n in itertools.islice(of_kind, 1) if n not in first]
    if task.besides is not None:
        by_kind = {(series[n][0].candidate.key, series[n][0].visit): n for n in reversed(order)}
        first += [n for n in by_kind.values() if n not in first]
    return [series[n] for n in first]


def _series(task: LeafTask, ill: Sequence[int], bars: list[Because]) -> list[tuple[Step, ...]]:
    """Every series worth trying, once each: on all plantings that are ill, and on each alone."""
    found: dict[tuple[object, ...], tuple[Step, ...]] = {}
    starts = range(min(3, len(task.visits)))
    for candidate, start, gap in itertools.product(task.candidates, starts, GAPS_D):
        for among in [ill, *([place] for place in ill)]:
            steps = one_series(task, candidate, start, gap, among, bars)
            for uses in range(1, len(steps) + 1):
                part = steps[:uses]
                found[(candidate.key, *((s.visit, s.places) for s in part))] = part
    return list(found.values())


def one_series(
    task: LeafTask,
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
        if day < due or len(steps) >= min(MOST_USES, candidate.most_uses):
            continue
        places: list[int] = []
        for place in among:
            if (candidate.key, visit, place) in task.taken:
                continue
            key = task.belief.stands[place].key
            so_far = (*steps, Step(visit, candidate, tuple(places))) if places else steps
            ruled = task.permits(candidate, visit, key, so_far)
            if visit == 0:
                bars.extend(ruled.bars)
            if ruled.allowed:
                places.append(place)
        if places:
            steps = (*steps, Step(visit, candidate, tuple(places)))
            due = day + max(gap, candidate.least_gap_days)
    return steps


def _worth_treating(task: LeafTask) -> tuple[list[int], tuple[Because, ...]]:
    """Own plantings that are ill and can still gain, and why the others cannot, the worst first."""
    ill = ill_places(task.belief)
    late = {p: _too_late(task, p) for p in sorted(ill, key=lambda p: -_severity(task.belief, p))}
    bars = tuple(bar for bar in late.values() if bar is not None)
    return [p for p in ill if late[p] is None], bars


def _severity(belief: LeafBelief, place: int) -> float:
    return float(np.median(belief.state[:, place].mean(-1)))


def _too_late(task: LeafTask, place: int) -> Because | None:
    if place in task.comes_off:
        stand = task.belief.stands[place]
        return Because(
            f"all haulm of {stand.name} is cut and carried off",
            rests_on=(f"plot:planting/{stand.key}",),
        )
    if task.pays is None:
        return None
    return task.pays.too_late(task.belief, place, _days_left(task, place))


def _days_left(task: LeafTask, place: int) -> int:
    """Days until nearly all of a planting's yield has come. [d]"""
    if task.when is None:
        return int(task.belief.response.shape[-1]) - task.belief.today
    return int(np.searchsorted(np.cumsum(task.when[place]), 1 - LAST_OF_YIELD))


def ill_places(belief: LeafBelief) -> list[int]:
    """Own plantings that show the disease, or soon will."""
    shown = np.median(belief.state.max(-1), axis=0)
    stands = belief.stands
    return [p for p in range(len(stands)) if stands[p].treatable and shown[p] >= ILL]


def applications_of(task: LeafTask, steps: Sequence[Step]) -> list[LeafApplication]:
    """A series as treatments on days of the belief."""
    made = []
    for step in steps:
        effect = task.effects[step.candidate.key]
        reach = leaf_reach(effect, step.candidate.surfaces, step.candidate.coverage)
        made.append(LeafApplication(task.visits[step.visit], effect, step.places, reach))
    return made


def damage_of_run(task: LeafTask, run: FloatArray) -> float:
    """Portions lost: loss per unit of severity, on the days on which the planting bears."""
    return float(damage_in_draws(task, run).mean())


def damage_in_draws(task: LeafTask, run: FloatArray) -> FloatArray:
    """The same in each draw, (n_draws,). [portions]"""
    lost = (1.0 - kept_of_run(task, run)) * portions_by_day(task, run)
    return np.asarray((lost if task.left is None else lost * task.left).sum((1, 2)))


def kept_of_run(task: LeafTask, run: FloatArray) -> FloatArray:
    """Share of the yield that the disease leaves, (n_draws, n_plantings, n_days). [0 to 1]"""
    severity = (run[:, :, 1:, 0] + run[:, :, 1:, 1]) / 2  # many times as fast as a mean of two
    return 1.0 - task.loss.lost(severity)


def portions_by_day(task: LeafTask, run: FloatArray) -> FloatArray:
    """What each day gives if nothing is lost, (n_plantings, n_days). [portions]"""
    n_days = run.shape[2] - 1
    when = np.full((1, n_days), 1 / n_days) if task.when is None else task.when
    return np.asarray(task.portions[:, None] * when)


def work_of_series(task: LeafTask, steps: Sequence[Step]) -> float:
    """Minutes and hazard of a series. [portions]"""
    total = 0.0
    for step in steps:
        ground = sum(task.belief.stands[p].area_m2 for p in step.places)
        minutes = step.candidate.minutes_once + step.candidate.minutes * ground
        total += minutes * task.minute_cost + step.candidate.hazard * len(step.places)
    return total
