"""Searches a course of treatments against one cluster over the coming visits.

A beam over the visits on common draws: at each visit every course so far may do nothing, or treat
with anything that the rulings permit. What is left afterwards is priced by the value of one insect
of each class if nothing more is done, which one pass backward gives for all courses at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.treatment_kills import MOST_KILL, Application, KnownKills, reach_of
from lattermath.belief.whole_insects import frosty_days, with_frost
from lattermath.planning.common_draws import Priced, cycle_of, searched, setting_of
from lattermath.planning.course_bound import bounded
from lattermath.planning.course_task import (
    BEAM,
    Candidate,
    Found,
    Step,
    Task,
    alternatives,
    application,
    cost_in_draws,
    run_course,
    work_of,
    work_on,
)
from lattermath.planning.shared_treatments import damage_of
from lattermath.science.stage_cohorts import Cycle, Setting, no_kills, run_cohorts
from lattermath.vocabulary.ruling import Because, Ruling

FloatArray = NDArray[np.float64]
Course = tuple[Step, ...]
Rulings = dict[tuple[str, int, int], Ruling]  # by candidate, visit and place

LEAST_GAIN = 1e-9
MOST_RUN = 80  # judgement: courses run one by one to improve on what the beam found


@dataclass(frozen=True, slots=True, eq=False)
class _Node:
    """One course up to a visit: its state there, what it has cost, and deposits still killing."""

    state: FloatArray
    spent: float
    steps: tuple[Step, ...]
    score: float
    deposits: tuple[Application, ...] = ()


@dataclass(slots=True)
class _Search:
    """The common draws of the search and what is the same for every course."""

    task: Task
    cycle: Cycle
    setting: Setting
    quantiles: Mapping[str, FloatArray]
    priced: Priced
    value: FloatArray  # (n_draws, n_visits, n_plantings, n_classes)
    by_class: NDArray[np.int64]
    kills: KnownKills
    standing: NDArray[np.bool_]  # as in the belief
    frosty: list[int]  # days on which frost takes a planting's insects in some draw
    left: dict[str, FloatArray] = field(default_factory=dict)
    rulings: dict[Course, Rulings] = field(default_factory=dict)
    beside: tuple[Course | None, Rulings] = (None, {})
    bars: dict[tuple[str, int, int], float] = field(default_factory=dict)  # of one step alone
    work: dict[str, FloatArray] = field(default_factory=dict)  # of a candidate on each planting

    @classmethod
    def of(cls, task: Task) -> _Search:
        belief = task.belief
        some = searched(belief.n_draws)
        cycle, setting = cycle_of(belief.cycle, some), setting_of(belief.setting, some)
        priced = Priced.of(belief, task.stakes)
        value = priced.values(task.visits)
        quantiles = {m: q[some] for m, q in belief.unknowns.quantiles.items()}
        stages = belief.life.stages
        shape = (len(some), len(belief.stands), len(stages))
        kills = KnownKills(quantiles, stages, belief.rain, belief.pace, shape)
        by_class = belief.life.layout.stage_of_class
        standing = belief.standing[some]
        frosty = frosty_days(standing, belief.today)
        return cls(
            task, cycle, setting, quantiles, priced, value, by_class, kills, standing, frosty
        )

    def first_node(self) -> _Node:
        """The cluster as it will be at the first visit with nothing done before."""
        belief = self.task.belief
        now = belief.state[searched(belief.n_draws)].astype(np.float64)
        node = _Node(now, 0.0, (), 0.0, belief.applied)
        return self.walk(node, belief.today, self.task.visits[0])

    def walk(self, node: _Node, first: int, last: int) -> _Node:
        """The same course some days on."""
        if last == first:
            return node
        kills = self.kills.between(node.deposits, first, last)
        if any(first <= day < last for day in self.frosty):
            nothing = no_kills(self.cycle.n_days, *self.kills.shape[1:])
            kills = with_frost(kills or nothing, self.standing, self.task.belief.today)
        run = run_cohorts(
            self.cycle, self.setting, node.state, kills, first_day=first, n_days=last - first
        )
        spent = node.spent + self.priced.spent(run.sums, first)
        return _Node(run.final, spent, node.steps, node.score, node.deposits)

    def options(self, node: _Node, visit: int) -> list[_Node]:
        """Nothing, every candidate on every planting where it pays, and the best mix of them."""
        cost_left = float((node.state * self.value[:, visit]).sum((1, 2)).mean())
        found = [_Node(node.state, node.spent, node.steps, node.spent + cost_left, node.deposits)]
        gains: dict[int, tuple[float, Candidate]] = {}
        for candidate in self.task.candidates:
            gain = self._gains(node, candidate, visit)
            paying = [p for p in np.argsort(-gain) if gain[p] > LEAST_GAIN]
            paying = [int(p) for p in paying if self._allowed(candidate, visit, int(p), node.steps)]
            for p in paying:
                if p not in gains or gain[p] > gains[p][0]:
                    gains[p] = (float(gain[p]), candidate)
            for places in {tuple(sorted(paying)), tuple(paying[:1])} - {()}:
                found.append(self._treated(node, (Step(visit, candidate, places),)))
        mix = _grouped(gains, visit)
        if len(mix) > 1 and self.permits((*node.steps, *mix)):
            found.append(self._treated(node, mix))
        return found

    def _gains(self, node: _Node, candidate: Candidate, visit: int) -> FloatArray:
        """Damage saved by treating each planting less its work and hazard, (n_plantings,)."""
        killed = 1.0 - self._left(candidate)
        saved = (node.state * killed * self.value[:, visit]).sum(2).mean(0)
        task, places = self.task, range(saved.size)
        besides = [task.besides(candidate, visit, (p,)) for p in places] if task.bonus else 0.0
        if candidate.key not in self.work:
            self.work[candidate.key] = np.array([work_on(task, candidate, (p,)) for p in places])
        own = self.work[candidate.key]
        return np.asarray(saved + besides - own - self._barred(node, candidate, visit))

    def _barred(self, node: _Node, candidate: Candidate, visit: int) -> FloatArray:
        """What the pickings cost that treating each planting bars besides, (n_plantings,)."""
        task, n_places = self.task, len(self.task.belief.stands)
        before = None
        lost = np.zeros(n_places)
        if task.barred is None or candidate.product is None:
            return lost
        for place in range(n_places):
            if not task.belief.stands[place].treatable:
                continue
            alone = (candidate.key, visit, place)
            if alone not in self.bars:
                self.bars[alone] = task.lost_picks((Step(visit, candidate, (place,)),))
            if self.bars[alone]:
                before = task.lost_picks(node.steps) if before is None else before
                step = Step(visit, candidate, (place,))
                lost[place] = task.lost_picks((*node.steps, step)) - before
        return lost

    def _left(self, candidate: Candidate) -> FloatArray:
        """Share left of each class by the whole treatment, (n_draws, 1, n_classes)."""
        if candidate.key not in self.left:
            life, effect = self.task.belief.life, candidate.effect
            reach = reach_of(effect, candidate.surfaces, candidate.coverage, life.figures)
            kill = effect.draws(life.stages, self.quantiles[candidate.method]) * reach
            left = 1.0 - np.clip(kill, 0, MOST_KILL)
            self.left[candidate.key] = left[:, None, self.by_class]
        return self.left[candidate.key]

    def _cost(self, steps: Sequence[Step]) -> float:
        """Work and hazard of some steps, less what they save besides. [portions]"""
        return work_of(self.task, steps) - self.task.saved_besides(steps)

    def _added(self, node: _Node, steps: Course) -> float:
        """What some steps more cost a course: a picking that two of them bar is lost once."""
        alone, lost = self._cost(steps), self.task.lost_picks
        if self.task.barred is None:
            return alone
        return alone - lost(steps) + lost((*node.steps, *steps)) - lost(node.steps)

    def _allowed(
        self, candidate: Candidate, visit: int, place: int, so_far: tuple[Step, ...]
    ) -> bool:
        stand = self.task.belief.stands[place]
        if self.task.where is not None and place not in self.task.where:
            return False
        if (candidate.key, visit, place) in self.task.taken:
            return False
        if not stand.treatable or self._too_soon(candidate, visit, place, so_far):
            return False
        if self.beside[0] is not so_far:  # asked for many plantings in a row
            self.beside = so_far, self.rulings.setdefault(so_far, {})
        ruled, key = self.beside[1], (candidate.key, visit, place)
        if key not in ruled:
            ruled[key] = self.task.permits(candidate, visit, stand.key, so_far)
        return ruled[key].allowed

    def cost(self, course: Course) -> float:
        """Damage and work less what it saves besides, on the draws that are searched. [portions]"""
        return damage_of(self.task, course) + self._cost(course)

    def permits(self, course: Course) -> bool:
        """Is each step still allowed after those before it, and beside those of its evening? What
        one rests on may be gone, and two products close a bed to each other."""
        return all(
            self._allowed(step.candidate, step.visit, place, before)
            for step in course
            for before in [tuple(s for s in course if s.visit <= step.visit and s is not step)]
            for place in step.places
        )

    def _too_soon(
        self, candidate: Candidate, visit: int, place: int, so_far: tuple[Step, ...]
    ) -> bool:
        """Our own rule of spacing; what a label says is for the rulings."""
        visits = self.task.visits
        used = [s.visit for s in so_far if s.candidate.key == candidate.key and place in s.places]
        if len(used) >= candidate.most_uses:
            return True
        return any(visits[visit] - visits[v] < candidate.least_gap_days for v in used)

    def _treated(self, node: _Node, steps: tuple[Step, ...]) -> _Node:
        """The course with one more visit's work; lasting deposits go on in `walk`."""
        visit, belief = steps[0].visit, self.task.belief
        day, state, done = self.task.visits[visit], node.state.copy(), []
        scored = state.copy()
        for step in steps:
            one = application(step, day, belief)
            places = list(step.places)
            whole = self._left(step.candidate)
            scored[:, places] *= whole
            if one.effect.lasts_days > 1:
                done.append(one)
            else:
                state[:, places] *= whole
        spent = node.spent + self._added(node, steps)
        cost_left = float((scored * self.value[:, visit]).sum((1, 2)).mean())
        deposits = (*node.deposits, *done)
        return _Node(state, spent, (*node.steps, *steps), spent + cost_left, deposits)


def search_course(task: Task) -> Found:
    """The best course over these visits; doing nothing and waiting are always among those weighed.

    Rulings are asked for each candidate, visit, planting and course so far, and never overruled.
    """
    if not task.visits or task.visits[0] < task.belief.today:
        raise ValueError("a course needs visits from today on")
    search = _Search.of(task)
    beam = [search.first_node()]
    for visit, day in enumerate(task.visits):
        options = [option for node in beam for option in search.options(node, visit)]
        beam = _keep(options, task.width[0])
        if visit + 1 < len(task.visits):
            beam = [search.walk(node, day, task.visits[visit + 1]) for node in beam]
    return _finish(task, beam, search)


def _keep(nodes: Sequence[_Node], width: int) -> list[_Node]:
    """The best courses so far; of courses with the same steps only one, and both that begin at
    once and that wait."""
    ranked = sorted(nodes, key=lambda node: (node.score, len(node.steps)))
    kept = ranked[:width]
    waits = [node for node in ranked if not any(step.visit == 0 for step in node.steps)]
    idle = [node for node in ranked if not node.steps]
    for extra in (*waits[:2], *idle[:1]):
        if extra not in kept:
            kept.append(extra)
    return kept


def _finish(task: Task, beam: Sequence[_Node], search: _Search) -> Found:
    """Re-run the best on all draws and choose among them."""
    ranked = sorted(beam, key=lambda node: node.score)
    later = (n.steps for n in ranked if n.steps and n.steps[0].visit > 0)
    waits = next(later, ())
    courses = list(dict.fromkeys([*(n.steps for n in ranked[: task.width[1]]), waits, ()]))
    costs = {steps: cost_in_draws(task, steps) - task.saved_besides(steps) for steps in courses}
    best = min(courses, key=lambda steps: (float(costs[steps].mean()), len(steps)))
    worked = min(filter(None, courses), key=lambda steps: float(costs[steps].mean()), default=())
    better = _improved(search, worked)
    if better not in costs:
        courses.append(better)
        costs[better] = cost_in_draws(task, better) - task.saved_besides(better)
        best = min(best, better, key=lambda steps: (float(costs[steps].mean()), len(steps)))
    best, gap = _second_method(search, costs, best)
    return Found(
        best,
        float(costs[best].mean()),
        float(costs[()].mean()),
        run_course(task.belief, best, task.visits),
        run_course(task.belief, (), task.visits),
        alternatives(costs, best),
        _refusals(search),
        gap,
    )


def _second_method(
    search: _Search, costs: dict[Course, FloatArray], best: Course
) -> tuple[Course, float | None]:
    """The best with what cutting planes find beside the beam, and how far from the best of all it
    may be. Narrow searches, which others weigh anyway, do without it."""
    task = search.task
    if task.width[0] < BEAM:
        return best, None
    bound = bounded(task, best)
    other = bound.best[0]
    if other not in costs and search.permits(other):
        other = _improved(search, other)
        costs[other] = cost_in_draws(task, other) - task.saved_besides(other)
        best = min(best, other, key=lambda steps: (float(costs[steps].mean()), len(steps)))
    return best, replace(bound, reached=search.cost(best)).gap


def _improved(search: _Search, steps: Course) -> Course:
    """The course with steps dropped or put off or forward by a visit, as long as that gains, and
    until so many courses were run.

    The beam prices every insect at the mean of all; here each course is run, so that what many
    take is taken once. On the draws that are searched.
    """
    costs = {steps: search.cost(steps)}
    while len(costs) < MOST_RUN:
        near = [course for course in _neighbours(steps, len(search.task.visits))
                if search.permits(course)]  # fmt: skip
        for course in near:
            if course not in costs:
                costs[course] = search.cost(course)
        best = min(near, key=lambda course: costs[course], default=steps)
        if costs[best] >= costs[steps] - LEAST_GAIN:
            break
        steps = best
    return steps


def _neighbours(steps: Course, n_visits: int) -> Iterator[Course]:
    """The course without one of its steps, and with one of them a visit earlier or later."""
    for n, step in enumerate(steps):
        others = steps[:n] + steps[n + 1 :]
        yield others
        taken = {
            one.visit
            for one in others
            if one.candidate.key == step.candidate.key or set(one.places) & set(step.places)
        }
        for visit in (step.visit - 1, step.visit + 1):
            if 0 <= visit < n_visits and visit not in taken:
                moved = (*others, replace(step, visit=visit))
                yield tuple(sorted(moved, key=lambda one: one.visit))


def _refusals(search: _Search) -> tuple[Because, ...]:
    """Why candidates were barred at the first visit, each reason once."""
    bars = [
        bar
        for (_, visit, _), ruling in search.rulings.get((), {}).items()
        if visit == 0
        for bar in ruling.bars
    ]
    return tuple(dict.fromkeys(bars))


def _grouped(gains: Mapping[int, tuple[float, Candidate]], visit: int) -> tuple[Step, ...]:
    """The best candidate of each planting, one step a candidate."""
    by_key: dict[str, tuple[Candidate, list[int]]] = {}
    for place, (_, candidate) in sorted(gains.items()):
        by_key.setdefault(candidate.key, (candidate, []))[1].append(place)
    return tuple(Step(visit, c, tuple(places)) for c, places in by_key.values())
