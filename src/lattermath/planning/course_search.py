"""Searches a course of treatments against one cluster over the coming visits.

A beam over the visits on common draws: at each visit every course so far may do nothing, or treat
with anything that the rulings permit. What is left afterwards is priced by the value of one insect
of each class if nothing more is done, which one pass backward gives for all courses at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import Effect
from lattermath.belief.treatment_kills import MOST_KILL, Application, KnownKills, reach_of
from lattermath.planning.common_draws import cycle_of, searched, setting_of
from lattermath.science.stage_cohorts import Cycle, Setting, run_cohorts, value_of_insects
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.ruling import Because, Ruling

FloatArray = NDArray[np.float64]

BEAM = 32  # judgement: at most 0.7 % worse than all schedules in the trial of the design
FINALISTS = 6
LEAST_GAIN = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """One way to treat. Costs are in portions, per planting and visit unless said otherwise.

    minutes_once   : work per visit that does not depend on the plants: mixing, rinsing. [min]
    minutes        : work per square metre of the planting. [min/m2]
    hazard         : cost of one application of a chemical on a planting, 0 for hands.
    least_gap_days : days between two uses on a planting that are our own rule, as for pruning.
    most_uses      : uses on a planting that are our own rule.
    """

    key: str  # product key, or the method where none is needed
    method: str
    product: str | None
    name: str
    effect: Effect
    surfaces: tuple[Surface, ...]
    coverage: float
    minutes: float
    minutes_once: float = 0.0
    hazard: float = 0.0
    least_gap_days: int = 0
    most_uses: int = 99


@dataclass(frozen=True, slots=True)
class Step:
    """One candidate used at one visit on some plantings (places in the belief)."""

    visit: int
    candidate: Candidate
    places: tuple[int, ...]


Permits = Callable[[Candidate, int, str, tuple[Step, ...]], Ruling]


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """What is asked of the search.

    visits       : days of the coming visits, counted as in the belief's cycle, rising.
    worth        : cost of one insect of a stage for a day, (n_plantings, n_stages). [portions/d]
    minute_costs : cost of a minute at the plot. [portions/min]
    where        : places that may be treated: those where it was seen or is to be expected;
                   None for all.
    taken        : candidate, visit and place that are done anyway, against something else.
    bonus        : what a candidate at a visit on a place saves besides, of what else lives there.
                   [portions]
    width        : courses kept from visit to visit, and those re-run on all draws.
    """

    belief: ClusterBelief
    visits: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    permits: Permits
    worth: FloatArray
    minute_costs: float
    where: frozenset[int] | None = None
    taken: frozenset[tuple[str, int, int]] = frozenset()
    bonus: Mapping[tuple[str, int, int], float] = field(default_factory=dict)
    width: tuple[int, int] = (BEAM, FINALISTS)

    def besides(self, candidate: Candidate, visit: int, places: Sequence[int]) -> float:
        """What a treatment saves of what else lives on these plantings. [portions]"""
        if not self.bonus:
            return 0.0
        return sum(self.bonus.get((candidate.key, visit, place), 0.0) for place in places)

    def saved_besides(self, steps: Sequence[Step]) -> float:
        """The same of a whole course. [portions]"""
        return sum(self.besides(step.candidate, step.visit, step.places) for step in steps)


@dataclass(frozen=True, slots=True)
class Alternative:
    """One other course and what it costs beside the chosen one, in portions; more is worse."""

    says: str
    steps: tuple[Step, ...]
    cost: float
    sd_error: float


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """The best course found, what it leaves, and what else was weighed.

    with_it, without : insects by draw, planting, day from today and stage.
    cost             : damage and work, mean over the draws. [portions]
    """

    steps: tuple[Step, ...]
    cost: float
    cost_of_nothing: float
    with_it: FloatArray
    without: FloatArray
    alternatives: tuple[Alternative, ...]
    refused: tuple[Because, ...] = ()

    @property
    def left_share(self) -> FloatArray:
        """Insects on the last day as a share of those if nothing is done, (n_draws,)."""
        return np.asarray(
            self.with_it[:, :, -1].sum((1, 2))
            / np.maximum(self.without[:, :, -1].sum((1, 2)), 1e-9)
        )


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
    value: FloatArray  # (n_draws, n_visits, n_plantings, n_classes)
    by_class: NDArray[np.int64]
    kills: KnownKills
    left: dict[str, FloatArray] = field(default_factory=dict)
    rulings: dict[tuple[str, int, str, tuple[Step, ...]], Ruling] = field(default_factory=dict)

    @classmethod
    def of(cls, task: Task) -> _Search:
        belief = task.belief
        some = searched(belief.n_draws)
        cycle, setting = cycle_of(belief.cycle, some), setting_of(belief.setting, some)
        value = value_of_insects(cycle, setting, task.worth, task.visits, len(some))
        quantiles = {m: q[some] for m, q in belief.unknowns.quantiles.items()}
        stages = belief.life.stages
        shape = (len(some), len(belief.stands), len(stages))
        kills = KnownKills(quantiles, stages, belief.rain, belief.pace, shape)
        by_class = belief.life.layout.stage_of_class
        return cls(task, cycle, setting, quantiles, value.astype(np.float64), by_class, kills)

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
        run = run_cohorts(
            self.cycle, self.setting, node.state, kills, first_day=first, n_days=last - first
        )
        counted = run.sums[:, :, 1:].astype(np.float64).mean(0)
        spent = node.spent + float((counted.sum(1) * self.task.worth).sum())
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
        if len(mix) > 1:
            found.append(self._treated(node, mix))
        return found

    def _gains(self, node: _Node, candidate: Candidate, visit: int) -> FloatArray:
        """Damage saved by treating each planting less its work and hazard, (n_plantings,)."""
        killed = 1.0 - self._left(candidate)
        saved = (node.state * killed * self.value[:, visit]).sum(2).mean(0)
        task, places = self.task, range(saved.size)
        besides = [task.besides(candidate, visit, (p,)) for p in places]
        return np.asarray(saved + besides - [_work(task, candidate, (p,)) for p in places])

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
        key = (candidate.key, visit, stand.key, so_far)
        if key not in self.rulings:
            self.rulings[key] = self.task.permits(candidate, visit, stand.key, so_far)
        return self.rulings[key].allowed

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
            if one.effect.kill_days:
                done.append(one)
            else:
                state[:, places] *= whole
        spent = node.spent + self._cost(steps)
        cost_left = float((scored * self.value[:, visit]).sum((1, 2)).mean())
        deposits = (*node.deposits, *done)
        return _Node(state, spent, (*node.steps, *steps), spent + cost_left, deposits)


def work_of(task: Task, steps: Sequence[Step]) -> float:
    """Minutes and hazard of some steps. [portions]"""
    once = sum(step.candidate.minutes_once for step in steps) * task.minute_costs
    return once + sum(_work(task, step.candidate, step.places) for step in steps)


def _work(task: Task, candidate: Candidate, places: Sequence[int]) -> float:
    ground = sum(task.belief.stands[p].area_m2 for p in places)
    return candidate.minutes * ground * task.minute_costs + candidate.hazard * len(places)


def application(step: Step, day: int, belief: ClusterBelief) -> Application:
    """One step as an application on a day of the belief's cycle."""
    candidate = step.candidate
    reach = reach_of(candidate.effect, candidate.surfaces, candidate.coverage, belief.life.figures)
    return Application(day, candidate.effect, step.places, reach)


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
    waits = next((n.steps for n in ranked if not any(s.visit == 0 for s in n.steps)), ())
    courses = list(dict.fromkeys([*(n.steps for n in ranked[: task.width[1]]), waits, ()]))
    costs = {steps: cost_in_draws(task, steps) - task.saved_besides(steps) for steps in courses}
    best = min(courses, key=lambda steps: (float(costs[steps].mean()), len(steps)))
    others = [steps for steps in courses if steps != best]
    return Found(
        best,
        float(costs[best].mean()),
        float(costs[()].mean()),
        run_course(task.belief, best, task.visits),
        run_course(task.belief, (), task.visits),
        _one_of_each([_alternative(steps, costs[steps] - costs[best]) for steps in others]),
        _refusals(search),
    )


def run_course(
    belief: ClusterBelief, steps: Sequence[Step], visits: Sequence[int], *, by_chance: bool = True
) -> FloatArray:
    """Insects by draw, planting, day from today and stage under a course."""
    planned = [application(step, visits[step.visit], belief) for step in steps]
    return belief.ahead(planned, threads=2, by_chance=by_chance).sums.astype(np.float64)


def cost_in_draws(task: Task, steps: Sequence[Step]) -> FloatArray:
    """Damage and work of a course in each draw, on even courses, (n_draws,). [portions]"""
    sums = run_course(task.belief, steps, task.visits, by_chance=False)
    damage = (sums[:, :, 1:].sum(2) * task.worth).sum((1, 2))
    return np.asarray(damage + work_of(task, steps))


def _alternative(steps: tuple[Step, ...], extra: FloatArray) -> Alternative:
    begins = min((step.visit for step in steps), default=-1)
    says = "Do nothing" if not steps else "Begin now" if begins == 0 else "Wait and look again"
    return Alternative(says, steps, float(extra.mean()), float(extra.std() / np.sqrt(extra.size)))


def _one_of_each(alternatives: Sequence[Alternative]) -> tuple[Alternative, ...]:
    """The cheapest alternative of each kind."""
    ranked = sorted(alternatives, key=lambda one: one.cost)
    return tuple({one.says: one for one in reversed(ranked)}.values())[::-1]


def _refusals(search: _Search) -> tuple[Because, ...]:
    """Why candidates were barred at the first visit, each reason once."""
    bars = [
        bar
        for (_, visit, _, so_far), ruling in search.rulings.items()
        if visit == 0 and not so_far
        for bar in ruling.bars
    ]
    return tuple(dict.fromkeys(bars))


def _grouped(gains: Mapping[int, tuple[float, Candidate]], visit: int) -> tuple[Step, ...]:
    """The best candidate of each planting, one step a candidate."""
    by_key: dict[str, tuple[Candidate, list[int]]] = {}
    for place, (_, candidate) in sorted(gains.items()):
        by_key.setdefault(candidate.key, (candidate, []))[1].append(place)
    return tuple(Step(visit, c, tuple(places)) for c, places in by_key.values())
