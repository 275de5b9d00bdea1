"""The course search by adjoint and beam beside plain simulation of every schedule.

One planting, two means, six visits: 729 schedules. Printed: seconds of both, their ratio, and how
far the search's course is from the best of all, as a share of what the best gains.
"""

from __future__ import annotations

import itertools
import time
from dataclasses import replace

import numpy as np
from simulated_insects import KINDS, TABLES, dice_of, plot_with, sky_of

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.clusters import believe_cluster
from lattermath.belief.life_history import LifeHistory, life_of
from lattermath.belief.treatment_effect import effect_of
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Candidate, Step, Task, run_course
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.ruling import Because, Ruling, ruling

DRAWS, VISITS, GAP = 200, 6, 4
MEANS = ("soap", "prune_leaves")


def candidate(method: str, organism: str, life: LifeHistory) -> Candidate:
    targets = TABLES.crosswalk.targets.get(organism, ())
    effect = effect_of(TABLES.methods[method], organism, targets, life.stages)
    if effect is None:
        raise SystemExit(f"{method} has no row against {organism}")
    return Candidate(
        method, method, method, method, effect, ("underside", "top"), 0.7, 2.0, hazard=0.3
    )


def freely(_: Candidate, __: int, ___: str, ____: tuple[Step, ...]) -> Ruling:
    return ruling([Because("nothing forbids it")])


def task_of(organism: str, crop: str) -> Task:
    """An infested planting with counts, and two means against it."""
    life = life_of(TABLES, organism)
    stands = stands_of(plot_with((crop,), 1), life.figures, TABLES.crosswalk)
    dice = dice_of("course")
    sky = replace(sky_of(dice), future_of_draw=np.arange(DRAWS) % 20)
    seen: list[Seen] = []
    for n, (day, total) in enumerate(((45, 90), (58, 140))):
        told = Sighting("p0", organism, "count", "nymph", looked_at=10, total=total)
        read = read_sighting(told, day, n, stands, life.figures)
        seen += [] if read is None else [read]
    belief = believe_cluster(life, stands, sky, seen, (), MEANS, dice)
    appetite = life.figures.appetites
    n_days = belief.cycle.n_days - belief.today
    stakes = Stakes.of(stands, appetite, np.full((1, n_days), 50.0 / n_days), 70.0)
    visits = tuple(range(belief.today, belief.today + VISITS * GAP, GAP))
    means = tuple(candidate(method, organism, life) for method in MEANS)
    return Task(belief, visits, means, freely, stakes, 4 / 60)


def cost_of(task: Task, steps: tuple[Step, ...]) -> float:
    """Damage and work of one schedule by plain simulation on all draws."""
    sums = run_course(task.belief, steps, task.visits, by_chance=False)
    damage = float(task.stakes.lost(sums).sum(1).mean())
    area = task.belief.stands[0].area_m2
    return damage + sum(
        s.candidate.hazard
        + (s.candidate.minutes_once + s.candidate.minutes * area) * task.minute_costs
        for s in steps
    )


def main() -> None:
    organism, _, _, crops = KINDS[0]
    task = task_of(organism, crops[0])
    search_course(task)
    begun = time.perf_counter()
    found = search_course(task)
    searched = time.perf_counter() - begun
    begun = time.perf_counter()
    every = itertools.product((None, *task.candidates), repeat=VISITS)
    costs = [
        cost_of(task, tuple(Step(v, one, (0,)) for v, one in enumerate(plan) if one))
        for plan in every
    ]
    simulated = time.perf_counter() - begun
    best = min(costs)
    gap = (found.cost - best) / (found.cost_of_nothing - best)
    print(
        f"{len(costs)} schedules of {VISITS} visits: all simulated {simulated:.2f} s, searched "
        f"{searched:.3f} s, {simulated / searched:.0f} times faster; gap to the best {gap:.2%}"
    )
    far = replace(task, visits=tuple(range(task.visits[0], task.visits[0] + 12 * 3, 3)))
    search_course(far)
    begun = time.perf_counter()
    search_course(far)
    searched = time.perf_counter() - begun
    many = (1 + len(task.candidates)) ** len(far.visits)
    each = simulated / len(costs)
    print(
        f"{len(far.visits)} visits: searched {searched:.3f} s; {many} schedules would take "
        f"{each * many:.0f} s to simulate, {each * many / searched:.0f} times as long"
    )


if __name__ == "__main__":
    main()
