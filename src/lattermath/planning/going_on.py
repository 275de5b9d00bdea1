"""What is reckoned after the weeks that are searched: somebody goes on treating where that pays.

A course is searched over some five weeks, and plants may bear for ten. Were nobody reckoned to
treat after the last of these visits, what a course spares of plants that bear later would be worth
nothing: what it left alive would have them all the same. So one means is carried on week by week,
on evenings as they usually are then, as far as the rulings allow, until nearly all is picked, and
at its cost.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from lattermath.belief.treatment_kills import Application
from lattermath.planning.common_draws import run_searched, searched
from lattermath.planning.course_task import Candidate, Step, Task, application, work_of
from lattermath.planning.shared_treatments import LEAST_GAIN

Round = tuple[int, tuple[int, ...]]  # a day of the belief's cycle, and the places treated
# Whether a candidate may be used on a day on a place, behind a course and rounds after it.
LaterPermits = Callable[[Candidate, int, int, tuple[Step, ...], tuple[Round, ...]], bool]

WEEK = 7  # judgement: nobody plans on treating oftener for the rest of a season
APART_DAYS = 6  # judgement: visits this far apart make a week
FIRST_USES = 3  # judgement: of a course behind which going on is weighed
NEARLY_ALL = 0.9  # judgement: of what is still to be picked; treating for the rest is not planned


@dataclass(frozen=True, slots=True)
class GoingOn:
    """One means that is carried on after the weeks searched, round by round."""

    candidate: Candidate
    rounds: tuple[Round, ...]

    @property
    def name(self) -> str:
        """What is done, in words."""
        return self.candidate.name

    @property
    def steps(self) -> tuple[Step, ...]:
        """The rounds as steps; their visits are none of the searched ones."""
        return tuple(Step(-1, self.candidate, places) for _, places in self.rounds)

    def applications(self, task: Task) -> tuple[Application, ...]:
        """As the belief runs them."""
        days = (day for day, _ in self.rounds)
        return tuple(
            application(step, day, task.belief) for day, step in zip(days, self.steps, strict=True)
        )

    def without(self, places: Collection[int]) -> GoingOn | None:
        """The same but on these plantings; None where nothing is left of it."""
        kept = ((day, tuple(p for p in there if p not in places)) for day, there in self.rounds)
        rounds = tuple((day, there) for day, there in kept if there)
        return GoingOn(self.candidate, rounds) if rounds else None

    def times(self, place: int) -> int:
        """Rounds that take in a place."""
        return sum(place in there for _, there in self.rounds)


def going_on(task: Task, places: Collection[int], permits: LaterPermits) -> GoingOn | None:
    """The means to carry on with after the last visit; None where none pays or is allowed.

    task    : its belief holds what was done so far and nothing that is to come.
    places  : that are treated at all.
    permits : of days after the last visit.

    Means are compared behind a course of three weekly treatments with each, with and without more
    of it weekly or fortnightly after the weeks searched, on the draws that are searched.
    """
    until = _picked_by(task)
    if until < task.visits[-1] + WEEK or not places:
        return None
    best: tuple[float, GoingOn | None] = (_damage(task, ()), None)
    for candidate in task.candidates:
        for cost, tried in _tried(task, candidate, sorted(places), until, permits, best[0]):
            if cost < best[0] - LEAST_GAIN * (tried is not None):
                best = cost, tried
    return best[1]


def _tried(
    task: Task,
    candidate: Candidate,
    places: Sequence[int],
    until: int,
    permits: LaterPermits,
    below: float,
) -> Iterator[tuple[float, GoingOn | None]]:
    """What it costs to begin a course with one means, and to go on with it.

    below : a cost from which nothing more is tried. [portions]
    """
    steps = _first_uses(task, candidate, places)
    first = work_of(task, steps) + task.lost_picks(steps)
    if steps and first < below:
        yield first + _damage(task, steps), None
    for every in (WEEK, 2 * WEEK):
        days = range(task.visits[-1] + every, until + 1, every)
        tried = _rounds(candidate, places, days, steps, permits)
        if tried is None:
            continue
        barred = task.lost_picks(steps) * len(tried.rounds) / max(len(steps), 1)
        cost = first + work_of(task, tried.steps) + barred
        if cost < below:
            yield cost + _damage(task, steps, tried.applications(task)), tried


def _first_uses(task: Task, candidate: Candidate, places: Sequence[int]) -> tuple[Step, ...]:
    """One means about weekly, a few times, as far as the rulings allow."""
    steps: tuple[Step, ...] = ()
    gap = max(APART_DAYS, candidate.least_gap_days)
    for visit, day in enumerate(task.visits):
        if len(steps) >= min(FIRST_USES, candidate.most_uses):
            break
        if steps and day - task.visits[steps[-1].visit] < gap:
            continue
        allowed = tuple(
            place
            for place in places
            if task.permits(candidate, visit, task.belief.stands[place].key, steps).allowed
        )
        if allowed:
            steps = (*steps, Step(visit, candidate, allowed))
    return steps


def _rounds(
    candidate: Candidate,
    places: Sequence[int],
    days: Sequence[int],
    steps: tuple[Step, ...],
    permits: LaterPermits,
) -> GoingOn | None:
    """One means on these days, where it is allowed behind what comes before it."""
    rounds: tuple[Round, ...] = ()
    gap = candidate.least_gap_days
    for day in days:
        if rounds and day - rounds[-1][0] < gap:
            continue
        there = tuple(p for p in places if permits(candidate, day, p, steps, rounds))
        if there:
            rounds = (*rounds, (day, there))
    return GoingOn(candidate, rounds) if rounds else None


def _picked_by(task: Task) -> int:
    """Day of the cycle by which nearly all that is still to come is picked."""
    stakes = task.stakes
    alive = 1.0 if stakes.standing is None else stakes.standing.mean(0)
    daily = (stakes.bearing * alive).sum(0)
    total = float(daily.sum())
    if total <= 0:
        return task.belief.today
    return task.belief.today + int(np.searchsorted(np.cumsum(daily), NEARLY_ALL * total))


def _damage(task: Task, steps: Sequence[Step], later: Sequence[Application] = ()) -> float:
    """Damage, mean over the draws that are searched. [portions]"""
    planned = [application(step, task.visits[step.visit], task.belief) for step in steps]
    run = run_searched(task.belief, [*planned, *later], n_days=task.stakes.days)
    stakes = task.stakes.some(searched(task.belief.n_draws))
    return float(stakes.lost(run.sums).sum(1).mean())
