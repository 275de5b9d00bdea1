"""What is asked of a search for a course, what it finds, and what any course costs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import Effect
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.ruling import Because, Ruling

FloatArray = NDArray[np.float64]
Counts = NDArray[np.float32]  # insects by draw, planting, day from today and stage

LATER = "Begin at a later visit"
BEAM = 32  # judgement: at most 0.7 % worse than all schedules in the trial of the design
FINALISTS = 6
LEAST_TOLD = 0.095  # a gain below this is told as under 0.1, as nothing. [portions]


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
    stakes       : what feeding can still cost each planting.
    minute_costs : cost of a minute at the plot. [portions/min]
    where        : places that may be treated: those where it was seen or is to be expected;
                   None for all.
    taken        : candidate, visit and place that are done anyway, against something else.
    bonus        : what a candidate at a visit on a place saves besides, of what else lives there.
                   [portions]
    barred       : what the pickings that some steps bar cost beside what is barred anyway; None:
                   not asked. [portions]
    width        : courses kept from visit to visit, and those re-run on all draws.
    """

    belief: ClusterBelief
    visits: tuple[int, ...]
    candidates: tuple[Candidate, ...]
    permits: Permits
    stakes: Stakes
    minute_costs: float
    where: frozenset[int] | None = None
    taken: frozenset[tuple[str, int, int]] = frozenset()
    bonus: Mapping[tuple[str, int, int], float] = field(default_factory=dict)
    width: tuple[int, int] = (BEAM, FINALISTS)
    barred: Callable[[Sequence[Step]], float] | None = None

    def besides(self, candidate: Candidate, visit: int, places: Sequence[int]) -> float:
        """What a treatment saves of what else lives on these plantings. [portions]"""
        if not self.bonus:
            return 0.0
        return sum(self.bonus.get((candidate.key, visit, place), 0.0) for place in places)

    def saved_besides(self, steps: Sequence[Step]) -> float:
        """The same of a whole course, less what the pickings that it bars cost. [portions]"""
        saved = sum(self.besides(step.candidate, step.visit, step.places) for step in steps)
        return saved - self.lost_picks(steps)

    def lost_picks(self, steps: Sequence[Step]) -> float:
        """What the pickings that a course bars cost. [portions]"""
        return 0.0 if self.barred is None or not steps else self.barred(steps)


@dataclass(frozen=True, slots=True)
class Alternative:
    """One other course and what it costs beside the chosen one, in portions; more is worse.

    besides : what it costs of others more, of which the chosen one takes as well.
    """

    says: str
    steps: tuple[Step, ...]
    cost: float
    sd_error: float
    besides: float = 0.0


def alternatives(
    costs: Mapping[tuple[Step, ...], FloatArray], best: tuple[Step, ...]
) -> tuple[Alternative, ...]:
    """The cheapest of each kind among the other courses, by what each costs in every draw."""
    extra = {steps: cost - costs[best] for steps, cost in costs.items() if steps != best}
    found = [
        Alternative(
            kind_of(steps, best), steps, float(more.mean()), float(more.std() / np.sqrt(more.size))
        )
        for steps, more in extra.items()
    ]
    ranked = sorted(found, key=lambda one: one.cost)
    return tuple({one.says: one for one in reversed(ranked)}.values())[::-1]


def kind_of(steps: Sequence[Step], best: Sequence[Step]) -> str:
    """What a course does otherwise than the best one."""
    if not steps:
        return "Do nothing"
    now, best_now = (any(step.visit == 0 for step in some) for some in (steps, best))
    alike = bool(best) and now == best_now
    if now:
        return "Begin now with other work" if alike else "Begin now"
    if not best:
        return LATER  # to wait and look again is what is advised then
    return "Wait and do other work" if alike else "Wait and look again"


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """The best course found, what it leaves, and what else was weighed.

    with_it, without : insects by draw, planting, day from today and stage.
    cost             : damage and work, mean over the draws. [portions]
    gap              : by how much it may miss the best, as a share of what could at most be saved,
                       beside what is done against others; None: not reckoned.
    """

    steps: tuple[Step, ...]
    cost: float
    cost_of_nothing: float
    with_it: Counts
    without: Counts
    alternatives: tuple[Alternative, ...]
    refused: tuple[Because, ...] = ()
    gap: float | None = None

    @property
    def left_share(self) -> FloatArray:
        """Insects on the last day as a share of those if nothing is done, (n_draws,)."""
        return np.asarray(
            self.with_it[:, :, -1].sum((1, 2), dtype=np.float64)
            / np.maximum(self.without[:, :, -1].sum((1, 2), dtype=np.float64), 1e-9)
        )


def work_of(task: Task, steps: Sequence[Step]) -> float:
    """Minutes and hazard of some steps. [portions]"""
    once = sum(step.candidate.minutes_once for step in steps) * task.minute_costs
    return once + sum(work_on(task, step.candidate, step.places) for step in steps)


def work_on(task: Task, candidate: Candidate, places: Sequence[int]) -> float:
    """Work and hazard of one candidate on some plantings; what is once a visit is left out."""
    ground = sum(task.belief.stands[p].area_m2 for p in places)
    return candidate.minutes * ground * task.minute_costs + candidate.hazard * len(places)


def hazards(used: Sequence[Candidate], worth_of_treatment: float) -> float:
    """Treatments on one planting, softer ones counted as less, as the search prices them."""
    total = sum(candidate.hazard for candidate in used)
    return total / worth_of_treatment if worth_of_treatment > 0 else 0.0


def application(step: Step, day: int, belief: ClusterBelief) -> Application:
    """One step as an application on a day of the belief's cycle."""
    candidate = step.candidate
    reach = reach_of(candidate.effect, candidate.surfaces, candidate.coverage, belief.life.figures)
    return Application(day, candidate.effect, step.places, reach)


def run_course(
    belief: ClusterBelief,
    steps: Sequence[Step],
    visits: Sequence[int],
    *,
    by_chance: bool = True,
    n_days: int | None = None,
) -> Counts:
    """Insects by draw, planting, day from today and stage under a course; n_days, None for all."""
    planned = [application(step, visits[step.visit], belief) for step in steps]
    return belief.ahead(planned, threads=2, by_chance=by_chance, n_days=n_days).sums


def cost_in_draws(task: Task, steps: Sequence[Step]) -> FloatArray:
    """Damage and work of a course in each draw, on even courses, (n_draws,). [portions]"""
    return np.asarray(losses_in_draws(task, steps).sum(1) + work_of(task, steps))


def losses_in_draws(task: Task, steps: Sequence[Step]) -> FloatArray:
    """Damage of a course to each planting in each draw, (n_draws, n_plantings). [portions]"""
    return task.stakes.lost(run_evenly(task, steps))


def run_evenly(task: Task, steps: Sequence[Step]) -> Counts:
    """Insects under a course on even courses, as long as feeding costs anything."""
    days = task.stakes.days
    return run_course(task.belief, steps, task.visits, by_chance=False, n_days=days)
