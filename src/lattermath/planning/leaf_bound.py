"""How much less than a course against a leaf disease any allowed course could cost.

A leaf disease goes from leaf to leaf of one planting, and what comes from outside comes anyway. So
its damage is a sum over plantings, and a course costs at least the sum of what each planting's
part costs beside no other: what is once an evening is shared out among the plantings, and whatever
a ruling counts from one planting to another is left out. The least of each planting is bounded by
branch and bound (`leaf_branches`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_covers import covered
from lattermath.belief.leaf_disease import LeafAhead
from lattermath.planning.course_bound import Bound
from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.leaf_branches import Branch, Cheapest, LeafChoice, OnePlanting, cheapest
from lattermath.planning.leaf_disease_courses import (
    LeafFound,
    LeafTask,
    applications_of,
    cheaper_of,
    cost_of_series,
    searched_few,
    work_of_series,
)
from lattermath.planning.steps_allowed import allowed
from lattermath.science.leaf_least import Done, LeafDays, Least, More

FloatArray = NDArray[np.float64]
Course = tuple[Step, ...]

OPENINGS = 150  # judgement: branches run for one planting; counted, so that it is repeatable
FAR_APART_DAYS = 10  # judgement: uses farther apart than this are not asked about
BETWEEN = "rule:rotate_by_generation"  # what another treatment in between may lift
SLACK = 0.02  # portions; below a gap that counts as none
NONE = 1e-9


def bounded_leaf(few: LeafTask, course: Course, openings: int = OPENINGS) -> Bound:
    """What no allowed course can cost less than, and the cheapest met on the way.

    few    : the task on the draws that are searched.
    course : what another search found. All is of this disease alone, whatever else was asked.
    """
    reached, nothing = cost_of_series(few, course), cost_of_series(few, ())
    plantings = _Plantings.of(few)
    found = {place: plantings.least(place, course, openings) for place in plantings.worth}
    least = plantings.rest + sum(one.least for one in found.values())
    met = _merged(tuple(s for place, one in found.items() for s in plantings.steps(one, place)))
    costs = {(): nothing, course: reached}
    for begin in dict.fromkeys([met, course]):
        if begin not in costs and not allowed(few, begin):
            continue
        best = begin
        for place in plantings.worth if len(plantings.worth) > 1 else ():
            best = plantings.beside(place, best, openings)
        if best not in costs:
            costs[best] = cost_of_series(few, best)
    best = min(costs, key=costs.__getitem__)
    runs = sum(one.opened for one in found.values())
    return Bound(reached, min(least, costs[best]), nothing, (best, costs[best]), runs)


def or_cheaper(task: LeafTask, found: LeafFound) -> LeafFound:
    """The course found, or what branch and bound met where that is cheaper on all draws."""
    best = bounded_leaf(searched_few(task), found.steps).best[0]
    return found if best == found.steps else cheaper_of(task, found, best)


def gap_of(task: LeafTask, steps: Course) -> float:
    """By how much a course may miss the best, as a share of what could at most be saved."""
    return bounded_leaf(searched_few(task), steps).gap


@dataclass(frozen=True, slots=True, eq=False)
class _Plantings:
    """All plantings, each by itself.

    options : every candidate at every visit, in the order of the visits; does: what each does.
    worth   : places where a treatment may save more than it costs, and for each the share that it
        bears of what is once an evening.
    rest    : damage to the others if nothing is done. [portions]
    alone   : do pickings that are barred by work on one cost the same whatever else is barred?
    """

    task: LeafTask
    ahead: LeafAhead
    options: tuple[tuple[int, int], ...]
    does: More
    worth: dict[int, float]
    rest: float
    alone: bool

    @classmethod
    def of(cls, task: LeafTask) -> _Plantings:
        """Run each planting with nothing and with everything, allowed or not."""
        ahead = LeafAhead.of(task.belief)
        options = tuple(product(range(len(task.visits)), range(len(task.candidates))))
        one = cls(task, ahead, options, _effects(task, ahead, options), {}, 0.0, alone=True)
        rest, stakes = 0.0, {}
        for place, stand in enumerate(task.belief.stands):
            days = one.days(place)
            least = Least.of(days, one.done(place), 0)
            may = np.flatnonzero(one.does.days < len(days.yields))
            cost = min((one.cost(int(n), place, 0.0) for n in may), default=np.inf)
            if stand.treatable and least.damage - least.with_all(one.more(place, may)) > cost:
                stakes[place] = least.damage
            else:
                rest += least.damage
        whole = max(sum(stakes.values()), NONE)
        worth = {place: at / whole for place, at in stakes.items()}
        return replace(one, worth=worth, rest=rest, alone=_alone(task, options, list(worth)))

    def days(self, place: int) -> LeafDays:
        """The days of one planting, as long as anything comes of it."""
        task, belief = self.task, self.task.belief
        n_days = len(self.ahead.base.cure)
        when = np.full(n_days, 1 / n_days) if task.when is None else task.when[place]
        yields = when[:n_days] * task.portions[place]
        last = int(np.flatnonzero(yields).max(initial=0)) + 1
        start, hidden = belief.state[:, place], belief.hidden[:, place]
        left = None if task.left is None else task.left[:, place, :last]
        return LeafDays(start, hidden, self.ahead.pace, place, task.loss, yields[:last], left)

    def done(self, place: int) -> Done:
        """What is done on one planting anyway."""
        base, last = self.ahead.base, len(self.days(place).yields)
        cure = np.ascontiguousarray(base.cure[:last, :, place])
        back = np.zeros_like(cure) if base.back is None else base.back[:last, :, place]
        bare = np.ascontiguousarray(1 - base.cover[:last, :, place])
        return Done(cure, np.ascontiguousarray(back), bare)

    def more(self, place: int, which: Sequence[int] | NDArray[np.int64]) -> More:
        """What some options do on a planting."""
        some = self.does.some(np.asarray(which, dtype=np.int64))
        return replace(some, bares=some.bares[:, : len(self.days(place).yields)])

    def cost(self, option: int, place: int, share: float) -> float:
        """Work and hazard of an option on a planting, with a share of mixing. [portions]"""
        candidate = self.task.candidates[self.options[option][1]]
        once = candidate.minutes_once * self.task.minute_cost
        return work_of_series(self.task, (self._step(option, place),)) - (1 - share) * once

    def least(self, place: int, course: Course, openings: int) -> Cheapest:
        """The least of one planting by itself; the part of a course that is on it is known."""
        whole = 1.0 if self.alone else 1.0 / len(self.worth)
        shares = dict.fromkeys(range(len(self.options)), self.worth[place])
        return self._cheapest(place, course, (), shares, whole, openings)

    def beside(self, place: int, course: Course, openings: int) -> Course:
        """A course with the cheapest on one planting beside the rest of it, as far as it is met."""
        rest = tuple(
            replace(step, places=others)
            for step in course
            if (others := tuple(p for p in step.places if p != place))
        )
        mixed = {(step.visit, step.candidate.key) for step in rest}
        shares = {
            n: float((visit, self.task.candidates[kind].key) not in mixed)
            for n, (visit, kind) in enumerate(self.options)
        }
        return _merged(
            (*rest, *self.steps(self._cheapest(place, course, rest, shares, 1.0, openings), place))
        )

    def _cheapest(
        self,
        place: int,
        course: Course,
        rest: Course,
        shares: Mapping[int, float],
        whole: float,
        openings: int,
    ) -> Cheapest:
        """Branch and bound of one planting beside the rest of a course.

        shares : of mixing, by option; whole: share of barred pickings.
        """
        days, task = self.days(place), self.task
        may = [
            n
            for n in range(len(self.options))
            if self.does.days[n] < len(days.yields) and self._may_come(n, place)
        ]
        choices = []
        for n in may:
            visit, kind = self.options[n]
            choices.append(LeafChoice(visit, task.candidates[kind], self.cost(n, place, shares[n])))

        def steps(branch: Branch) -> Course:
            return _merged((*rest, *(self._step(may[n], place) for n in branch)))

        one = OnePlanting(
            days,
            self.done(place),
            choices,
            self.more(place, may),
            self._apart(may, place),
            lambda branch: allowed(task, steps(branch)),
            lambda branch: whole * task.lost_picks(steps(branch)),
        )
        own = {(s.visit, s.candidate.key) for s in course if place in s.places}
        known = tuple(n for n, o in enumerate(choices) if (o.visit, o.candidate.key) in own)
        if not one.allows(known):
            known = ()
        found = cheapest(one, known, openings, SLACK / len(self.worth))
        return replace(found, branch=tuple(may[n] for n in found.branch))

    def steps(self, found: Cheapest, place: int) -> Course:
        """A branch of options as steps."""
        return tuple(self._step(n, place) for n in found.branch)

    def _step(self, option: int, place: int) -> Step:
        visit, kind = self.options[option]
        return Step(visit, self.task.candidates[kind], (place,))

    def _may_come(self, option: int, place: int) -> bool:
        """May it be done on a planting, after nothing or after something else?"""
        step = self._step(option, place)
        if (step.candidate.key, step.visit, place) in self.task.taken:
            return False
        return _bears(self.task, step, place, ())

    def _apart(self, may: Sequence[int], place: int) -> NDArray[np.bool_]:
        """Pairs that exclude each other: uses of one thing, two products of one evening."""
        task, apart = self.task, np.zeros((len(may), len(may)), dtype=np.bool_)
        steps = [self._step(n, place) for n in may]
        for (n, one), (m, two) in combinations(enumerate(steps), 2):
            days, same = task.visits[two.visit] - task.visits[one.visit], _same(one, two)
            near = same and days < one.candidate.least_gap_days
            products = one.candidate.product is not None and two.candidate.product is not None
            asked = products and (days <= FAR_APART_DAYS if same else days == 0)
            apart[n, m] = apart[m, n] = near or (asked and not _bears(task, two, place, (one,)))
        return apart


def _merged(steps: Course) -> Course:
    """The same steps, what is alike of one evening in one, in the order of the visits."""
    by: dict[tuple[int, str], tuple[Candidate, list[int]]] = {}
    for step in steps:
        places = by.setdefault((step.visit, step.candidate.key), (step.candidate, []))[1]
        places.extend(step.places)
    return tuple(
        Step(visit, by[visit, key][0], tuple(sorted(by[visit, key][1])))
        for visit, key in sorted(by, key=lambda one: one[0])
    )


def _same(one: Step, two: Step) -> bool:
    return one.candidate.key == two.candidate.key


def _bears(task: LeafTask, step: Step, place: int, before: Course) -> bool:
    """Is a step allowed after others, or refused only for what another in between may lift?"""
    ruled = task.permits(step.candidate, step.visit, task.belief.stands[place].key, before)
    return ruled.allowed or (
        bool(ruled.bars) and all(BETWEEN in bar.rests_on for bar in ruled.bars)
    )


def _effects(task: LeafTask, ahead: LeafAhead, options: Sequence[tuple[int, int]]) -> More:
    """What every option does, from today on."""
    belief = task.belief
    n_days, n_draws = ahead.base.cure.shape[:2]
    days = np.array([task.visits[visit] - belief.today for visit, _ in options], dtype=np.int64)
    cured, undone = np.zeros((2, len(options), n_draws, 2))
    bares = np.ones((len(options), n_days, n_draws, 2))
    for n, (visit, kind) in enumerate(options):
        (one,) = applications_of(task, (Step(visit, task.candidates[kind], (0,)),))
        if days[n] >= n_days:
            continue
        does = covered(one, belief.unknowns.quantiles, belief.rain, belief.pace)
        cured[n] = does.cured
        undone[n] = 0.0 if does.back is None else does.back
        bares[n, days[n] :] = 1 - does.kept
    return More(days, cured, undone, bares)


def _alone(task: LeafTask, options: Sequence[tuple[int, int]], places: Sequence[int]) -> bool:
    """Do the pickings that everything on each planting bars cost what they cost together?

    Work on one planting closes its bed, so pickings of others may be barred by several.
    """
    every = [[Step(v, task.candidates[k], (place,)) for v, k in options] for place in places]
    whole = task.lost_picks([step for steps in every for step in steps])
    return abs(whole - sum(map(task.lost_picks, every))) < NONE
