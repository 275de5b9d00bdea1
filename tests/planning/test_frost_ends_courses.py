"""Frost ends what feeding costs and what a course is for: held against plain simulation.

Invented nights on whitefly of three plantings; from a week on it is too cold for some of them.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY, sky, stands
from tests.planning.test_course_search import APPETITE, PRUNE, SOAP, freely, heavy

from lattermath.belief.clusters import ClusterBelief
from lattermath.planning.common_draws import Priced, on_few, searched
from lattermath.planning.course_bound import Even, bounded
from lattermath.planning.course_search import _Search, search_course
from lattermath.planning.course_task import Step, Task, cost_in_draws, run_course, work_of
from lattermath.planning.shared_treatments import damage_of
from lattermath.planning.stakes import Stakes

FROST = TODAY + 7
BITE = -np.log(0.95) / 70.0  # of the yield's logarithm, by a feeding day on a square centimetre


def cold(kills=(-0.5, -12.0, -12.0), share=1.0) -> ClusterBelief:
    """Nights of -2 C from a week on, in a share of the futures; leaves are colder by two degrees.

    kills : temperature that kills cucumbers, aubergines and tomatoes. [C]
    """
    weather = sky(24.0)
    low, high = weather.t_min.copy(), weather.t_max.copy()
    n = round(share * len(low))
    low[:n, FROST:], high[:n, FROST:] = -2.0, 16.0
    homes = stands()
    homes = tuple(replace(h, killed_at_c=k) for h, k in zip(homes, kills, strict=False))
    return heavy(replace(weather, t_min=low, t_max=high), homes)


def asked(belief: ClusterBelief, n: int = 6, gap: int = 3, portions: float = 600.0) -> Task:
    """A few visits; each planting gives the same every day in the mean of all draws."""
    visits = tuple(range(belief.today, belief.today + n * gap, gap))
    standing = belief.standing[:, belief.today :].transpose(0, 2, 1)
    bearing = np.where(standing.any(0), portions / standing.shape[2], 0.0)
    stakes = Stakes.of(belief.stands, APPETITE, bearing, 70.0, standing)
    return Task(belief, visits, (SOAP, PRUNE), freely, stakes, 4 / 60)


def by_simulation(task: Task, steps: tuple[Step, ...], draws: np.ndarray) -> np.ndarray:
    """Damage by draw, one day after the other: what stands is picked less what was bitten."""
    belief = task.belief
    sums = run_course(belief, steps, task.visits, by_chance=False)[draws]
    stood = belief.standing[:, belief.today :]
    worth = np.where(stood.any(0), 600.0 / stood.shape[1], 0.0) / np.maximum(stood.mean(0), 1e-9)
    lost = np.zeros(len(draws))
    for place, stand in enumerate(belief.stands):
        left = np.ones(len(draws))
        for day in range(stood.shape[1]):
            eaten = sums[:, place, day + 1] @ APPETITE / (stand.all_leaves * stand.leaf_cm2)
            left *= np.exp(-BITE * eaten)
            lost += stood[draws, day, place] * worth[day, place] * (1 - left)
    return lost


SOME = (Step(0, SOAP, (0, 1)), Step(1, PRUNE, (0,)), Step(3, SOAP, (1,)))


@pytest.mark.parametrize("share", [1.0, 0.5])
@pytest.mark.parametrize("steps", [(), SOME])
def test_cost_is_that_of_the_simulation(share: float, steps: tuple[Step, ...]) -> None:
    task = asked(cold(share=share))
    few, every = searched(task.belief.n_draws), np.arange(task.belief.n_draws)
    assert damage_of(task, steps) == pytest.approx(by_simulation(task, steps, few).mean(), rel=1e-4)
    assert cost_in_draws(task, steps) - work_of(task, steps) == pytest.approx(
        by_simulation(task, steps, every), rel=1e-4, abs=1e-6
    )
    assert damage_of(on_few(task), steps) == pytest.approx(damage_of(task, steps))


@pytest.mark.parametrize("share", [1.0, 0.5])
def test_what_the_search_prices_ahead_is_what_is_lost(share: float) -> None:
    """Without crowding, spent until a visit and left at it are together the damage of nothing."""
    task = asked(cold(share=share))
    bare = replace(task.belief, setting=replace(task.belief.setting, room=np.zeros(0)))
    task = replace(task, belief=bare)
    search, lost = _Search.of(task), damage_of(task, ())
    node = search.first_node()
    for visit, day in enumerate(task.visits):
        idle = search.options(node, visit)[0]
        assert idle.score == pytest.approx(lost, rel=2e-3), visit
        if visit + 1 < len(task.visits):
            node = search.walk(idle, day, task.visits[visit + 1])


def test_nothing_is_treated_on_what_frost_has_killed() -> None:
    """Cucumbers die on the seventh day; the visits of the ninth and later leave them alone."""
    warm, dead = (search_course(asked(cold((kill, -12.0, -12.0)))) for kill in (-12.0, -0.5))
    late = {(s.visit, p) for s in dead.steps for p in s.places if 3 * s.visit >= 7 and p == 0}
    assert not late
    before = {(s.visit, p) for s in warm.steps for p in s.places if p == 0}
    assert before, "on cucumbers that stand it treats"
    treated = [sum(p == 0 for s in found.steps for p in s.places) for found in (warm, dead)]
    assert treated[1] < treated[0]
    assert any(p != 0 for s in dead.steps for p in s.places), "what stands is treated"


def test_insects_on_dead_hosts_are_worth_nothing() -> None:
    task = asked(cold())
    values = Priced.of(task.belief, task.stakes).values([task.belief.today, FROST + 1, FROST + 5])
    assert values[:, 0, 0].max() > 0
    assert not values[:, 1:, 0].any()
    assert values[:, 1:, 1].max() > 0


def test_the_best_of_all_schedules_is_found_and_none_is_below_the_bound() -> None:
    """One planting that half of the futures kill in a week; two means, four visits, all 256."""
    belief = cold(share=0.5)
    task = replace(asked(belief, n=4, gap=4), where=frozenset({0}))
    ours, costs = search_course(task), []
    for plan in itertools.product(((), (SOAP,), (PRUNE,), (SOAP, PRUNE)), repeat=4):
        steps = tuple(Step(v, c, (0,)) for v, both in enumerate(plan) for c in both)
        costs.append(damage_of(task, steps) + work_of(task, steps))
    reached, least, nothing = (
        damage_of(task, ours.steps) + work_of(task, ours.steps),
        min(costs),
        costs[0],
    )
    assert reached - least <= max(0.01 * (nothing - least), 0.05)
    assert bounded(task, ours.steps, 6).least <= least + 1e-6


def test_damage_lies_above_its_tangents_in_frost_too() -> None:
    even = Even.of(asked(cold(share=0.5), n=3, gap=4))
    rng = np.random.default_rng(9)
    sets = [frozenset(np.flatnonzero(rng.random(len(even.choices)) < 0.4)) for _ in range(6)]
    told = [even.tangent(one) for one in sets]
    for (height, slopes), here in zip(told, sets, strict=True):
        for (other, _), there in zip(told, sets, strict=True):
            line = height + slopes[sorted(there - here)].sum() - slopes[sorted(here - there)].sum()
            assert other >= line - 1e-6 * abs(height)


def test_insects_and_frost_of_other_draws_are_refused() -> None:
    task = asked(cold())
    sums = run_course(on_few(task).belief, (), task.visits, by_chance=False)
    with pytest.raises(ValueError, match="same draws"):
        task.stakes.lost(sums)
