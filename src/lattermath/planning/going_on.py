"""What is reckoned after the weeks that are searched: somebody goes on treating where that pays.

A course is searched over some five weeks, and plants may bear for ten. Were nobody reckoned to
treat after the last of these visits, what a course spares of plants that bear later would be worth
nothing: what it left alive would have them all the same. So one means is carried on week by week,
on evenings as they usually are then, as far as the rulings allow, until nearly all is picked, and
at its cost.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lattermath.belief.treatment_kills import Application
from lattermath.planning.common_draws import on_few, run_searched, searched
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Candidate, Step, Task, application, work_of
from lattermath.planning.shared_treatments import LEAST_GAIN, damage_of
from lattermath.vocabulary.sentence import inside

Round = tuple[int, tuple[int, ...]]  # a day of the belief's cycle, and the places treated
# Whether a candidate may be used on a day on a place, behind a course and rounds after it.
LaterPermits = Callable[[Candidate, int, int, tuple[Step, ...], tuple[Round, ...]], bool]

EVERY = (7, 14, 21)  # judgement: days between treatments for the rest of a season
APART_DAYS = 6  # judgement: visits this far apart make a week
FIRST_USES = 3  # judgement: of a course that leaves something of a label's maximum for later
MOST_TRIED = 2  # judgement: means that are carried on on trial; each costs some runs
CLEARLY = 0.05  # judgement: a narrow search may miss so much
NARROW = (8, 2)  # judgement: width of the searches by which it is decided
LEAST_AFTER = 0.5  # judgement: portions to be lost after these weeks below which nobody asks
NEARLY_ALL = 0.9  # judgement: of what is still to be picked; treating for the rest is not planned


@dataclass(frozen=True, slots=True)
class GoingOn:
    """One means that is carried on after the weeks searched, round by round."""

    candidate: Candidate
    rounds: tuple[Round, ...]

    @property
    def name(self) -> str:
        """What is done, in words inside a sentence; a product keeps its capital."""
        name = self.candidate.name
        return name if self.candidate.product else inside(name)

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

    Means are compared by a course of each about weekly over the weeks searched; the best two are
    then carried on every week, two or three, and the best of these is held against none by a narrow
    search with each; all on the draws that are searched.
    """
    until = _picked_by(task)
    if until < task.visits[-1] + EVERY[0] or not places:
        return None
    nothing, after = _lost_untreated(task)
    if after < LEAST_AFTER:
        return None
    begun = [
        (_worked(task, steps) + damage_of(task, steps) if steps else nothing, candidate, steps)
        for candidate in task.candidates
        for steps in [_weekly(task, candidate, sorted(places))]
    ]
    begun.sort(key=lambda one: one[0])
    alone = min([nothing, *(one[0] for one in begun)])
    least: tuple[float, GoingOn | None] = (alone - LEAST_GAIN, None)
    for _, candidate, steps in begun[:MOST_TRIED]:
        for cost, tried in _carried_on(task, candidate, sorted(places), until, steps, permits):
            if cost < least[0]:
                least = cost, tried
    return least[1] if least[1] is not None and _better(task, least[1]) else None


def uses_left(task: Task, later: GoingOn, permits: LaterPermits) -> int:
    """How often a course may use the means that is gone on with, so that all its rounds may follow.

    By the rulings, whatever they count: other products of the same active, or of the year before.
    The uses are put at the first visits, on all plantings that are gone on with; as many as there
    are visits is no limit.
    """
    places = tuple(sorted({place for _, there in later.rounds for place in there}))

    def follows(uses: int) -> bool:
        steps = tuple(Step(visit, later.candidate, places) for visit in range(uses))
        return all(
            permits(later.candidate, day, place, steps, later.rounds[:n])
            for n, (day, there) in enumerate(later.rounds)
            for place in there
        )

    may = range(len(task.visits) + 1)
    return max((uses for uses in may if follows(uses)), default=0)


def _better(task: Task, later: GoingOn) -> bool:
    """Does a course that is searched with it come out cheaper than one searched without it?

    Who searches these weeks as if nobody treated after treats harder in them: often that will do.
    """
    alone = replace(on_few(task), width=NARROW)
    applied = (*alone.belief.applied, *later.applications(task))
    carried = replace(alone, belief=replace(alone.belief, applied=applied))
    cost = search_course(carried).cost + work_of(task, later.steps)
    return cost < (1 - CLEARLY) * search_course(alone).cost - LEAST_GAIN


def _carried_on(
    task: Task,
    candidate: Candidate,
    places: Sequence[int],
    until: int,
    steps: tuple[Step, ...],
    permits: LaterPermits,
) -> Iterator[tuple[float, GoingOn]]:
    """What it costs to go on with a means behind a course of it.

    Where the rulings leave less than is wanted for later, the course is cut down for it as well.
    """
    for every in EVERY:
        days = range(task.visits[-1] + every, until + 1, every)
        for course in dict.fromkeys((steps, steps[:FIRST_USES])):
            tried = _rounds(candidate, places, days, course, permits)
            if tried is not None:
                barred = task.lost_picks(course) * len(tried.rounds) / max(len(course), 1)
                work = _worked(task, course) + work_of(task, tried.steps) + barred
                yield work + damage_of(task, course, tried.applications(task)), tried
                if len(tried.rounds) == len(days):
                    break


def _worked(task: Task, steps: tuple[Step, ...]) -> float:
    """Work, hazard and barred pickings of a course. [portions]"""
    return work_of(task, steps) + task.lost_picks(steps)


def _weekly(task: Task, candidate: Candidate, places: Sequence[int]) -> tuple[Step, ...]:
    """One means about weekly over the weeks searched, as far as the rulings allow."""
    steps: tuple[Step, ...] = ()
    gap = max(APART_DAYS, candidate.least_gap_days)
    for visit, day in enumerate(task.visits):
        if len(steps) >= candidate.most_uses:
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


def _lost_untreated(task: Task) -> tuple[float, float]:
    """Damage if nothing is done, and that of it to what is picked after the last visit, mean over
    the draws that are searched. [portions]"""
    run = run_searched(task.belief, n_days=task.stakes.days)
    stakes = task.stakes.some(searched(task.belief.n_draws))
    bearing = stakes.bearing.copy()
    bearing[:, : task.visits[-1] - task.belief.today] = 0.0
    after = replace(stakes, bearing=bearing)
    whole, part = (float(one.lost(run.sums).sum(1).mean()) for one in (stakes, after))
    return whole, part
