"""Two that live on one crop: it is lost once. Beside every plan there is, reckoned by hand.

Real weather of Champion, invented plants. By hand: each run by itself, the shares of the yield that
both leave multiplied day by day and draw by draw, as the yields of the sheet are.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.desk.test_joint_courses import PLOT, VISITS, pair
from tests.desk.test_pests_together import both
from tests.planning.kept_by_hand import yield_kept
from tests.seasons.champion import opened

from lattermath.desk.goes_on import with_later
from lattermath.desk.insect_cluster import Cluster
from lattermath.desk.insect_course import counted, going_on_pays
from lattermath.desk.joint_courses import search_together, total_cost
from lattermath.desk.pests_together import Joint, search_all
from lattermath.planning.course_task import Found, Step, run_course, work_of
from lattermath.planning.going_on import GoingOn


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return opened(Path(tmp_path_factory.mktemp("twice")) / "plot", PLOT)


def kept(cluster: Cluster, joint: Joint, n: int, steps: tuple[Step, ...]) -> np.ndarray:
    """Share of the yield that one leaves with its own steps and what is done against the other."""
    belief = counted(cluster, joint.beside_insect(n))
    runs = run_course(belief, steps, cluster.task.visits, by_chance=False)
    stand, appetite = belief.stands[0], belief.life.figures.appetites
    return yield_kept(runs[:, 0], stand, appetite, cluster.hurts[stand.key])


def by_hand(clusters: tuple[Cluster, ...], joint: Joint) -> float:
    """Damage and work of a plan: what is picked of each day's crop, and the minutes. [portions]"""
    stakes, left, work = clusters[0].task.stakes, np.ones(1), 0.0
    for n, (cluster, one) in enumerate(zip(clusters, joint.insects, strict=True)):
        left = left * kept(cluster, joint, n, one.found.steps)
        work += work_of(cluster.task, one.found.steps)
    there = np.broadcast_to(stakes.bearing[0], left.shape)
    if stakes.standing is not None:
        there = there * stakes.standing[:, 0]
    return float(((1 - left) * there).sum(1).mean()) + work


def worth(cluster: Cluster) -> float:
    """What the planting gives if nothing is lost. [portions]"""
    stakes = cluster.task.stakes
    alive = 1.0 if stakes.standing is None else stakes.standing.mean(0)
    return float((stakes.bearing * alive).sum())


def with_steps(joint: Joint, n: int, steps: tuple[Step, ...]) -> Joint:
    one = joint.insects[n]
    return joint.with_insect(n, replace(one, found=replace(one.found, steps=steps)))


def of_nothing(found: Found) -> float:
    """What is told that doing nothing costs against one by itself. [portions]"""
    if not found.steps:
        return found.cost_of_nothing
    return next(one.cost for one in found.alternatives if not one.steps)


@pytest.mark.parametrize(
    ("hour", "aphids", "mites"), [(4.0, 20, 20), (20.0, 400, 400), (10.0, 900, 300), (5.0, 683, 67)]
)
def test_what_is_told_of_both_is_no_more_than_the_crop(empty, hour, aphids, mites) -> None:
    clusters = pair(empty, hour, aphids, mites)
    joint = search_all(clusters, (), search_together)
    costs = by_hand(clusters, joint)
    assert total_cost(joint.insects) == pytest.approx(costs, rel=1e-6, abs=1e-6)
    assert joint.cost() == pytest.approx(costs, rel=1e-6, abs=1e-6)
    told = [one.found.cost_of_nothing for one in joint.insects]
    assert sum(told) <= worth(clusters[0]) + 1e-6
    for n, one in enumerate(joint.insects):
        if one.found.steps:
            nothing = next(a for a in one.found.alternatives if not a.steps)
            more = by_hand(clusters, with_steps(joint, n, ())) - costs
            assert nothing.cost + nothing.besides == pytest.approx(more, rel=1e-6, abs=1e-6)
            assert more <= worth(clusters[0])


@pytest.mark.parametrize("mites", [200, 400, 900])
def test_a_crop_that_is_lost_to_one_is_not_worked_over_for_another(empty, mites) -> None:
    """No means against the aphids, who take it all: what is saved of mites, aphids eat. Where they
    leave some after all, as every plan told by hand has it, no more is done than pays of that."""
    aphids, other = pair(empty, 2.0, 6000, mites)
    aphids = replace(aphids, task=replace(aphids.task, candidates=()), _effects={"water_jet": None})
    alone = search_all((other,), (), search_together)
    assert alone.insects[0].found.steps, "without aphids the mites are fought"
    clusters = (aphids, other)
    joint = search_all(clusters, (), search_together)
    (jet,) = other.task.candidates
    plans = [
        tuple(Step(visit, jet, (0,)) for visit in range(VISITS) if chosen[visit])
        for chosen in itertools.product((False, True), repeat=VISITS)
    ]
    costs = {steps: by_hand(clusters, with_steps(joint, 1, steps)) for steps in plans}
    best = min(costs.values())
    assert by_hand(clusters, joint) - best < 0.095
    pays = costs[()] - best > 0.095
    assert bool(joint.insects[1].found.steps) == pays and (not pays or mites == 900)
    found = joint.insects[1].found
    bare = by_hand((other,), Joint((replace(joint.insects[1], cluster=other),), ()))
    assert found.cost_of_nothing < 0.1 * bare


def test_two_who_would_each_take_it_are_not_both_fought_for_less_than_the_work(empty) -> None:
    """Each is worth its work where the other is fought; both together may not be."""
    for hour in (40.0, 80.0, 120.0):
        clusters = pair(empty, hour, 900, 900)
        joint = search_all(clusters, (), search_together)
        idle = with_steps(with_steps(joint, 0, ()), 1, ())
        assert by_hand(clusters, joint) <= by_hand(clusters, idle) + 1e-6


@pytest.mark.parametrize("aphids", [20, 6000])
def test_what_is_gone_on_with_has_to_pay_of_what_the_other_leaves(empty, aphids) -> None:
    """Hosing on for mites after these weeks, priced by hand: not where aphids have it all."""
    one, other = pair(empty, 0.2, aphids, 900)
    one = replace(one, task=replace(one.task, candidates=()), _effects={"water_jet": None})
    (jet,) = other.task.candidates
    last = other.task.visits[-1]
    later = GoingOn(jet, tuple((last + 7 * n, (0,)) for n in (1, 2, 3)))
    clusters = (one, with_later(other, later))
    joint = Joint(tuple(search_together(clusters)), ())
    bare = (one, replace(clusters[1], later=None))
    gained = by_hand(bare, joint) - by_hand(clusters, joint)
    pays = going_on_pays(joint.insect_as_it_stands(1))
    assert pays is (gained > work_of(other.task, later.steps))
    assert pays is (aphids == 20), gained
    told = search_all(clusters, (), search_together).insects[1]
    assert (told.cluster.later is not None) is pays


def test_insects_and_a_leaf_disease_take_of_one_crop_too(tmp_path: Path) -> None:
    """Mildew ages what whitefly left: by hand, the one after the other, on the same draws."""
    cluster, case, _ = both(tmp_path, 1.0, 900, 25.0)
    joint = search_all([cluster], [case], search_together)
    (one,), (leaf,) = joint.insects, joint.leaves
    belief = counted(cluster, (*joint.leaf_work(-1),))
    runs = run_course(belief, one.found.steps, cluster.task.visits, by_chance=False)
    stand, appetite = belief.stands[0], belief.life.figures.appetites
    first = yield_kept(runs[:, 0], stand, appetite, cluster.hurts[stand.key])
    severity = leaf.task.run(leaf.found.steps)[:, 0, 1:].mean(-1)
    loss, when = case.task.loss, case.task.when
    assert when is not None
    ill = np.clip(severity - loss.tolerated, 0, None) / (1 - loss.tolerated)
    second = 1 - np.minimum(loss.worst * ill**2, 1)
    stakes = cluster.task.stakes
    bearing = np.broadcast_to(stakes.bearing[0], first.shape)
    if stakes.standing is not None:
        bearing = bearing * stakes.standing[:, 0]
    eaten = ((1 - first) * bearing).sum(1)
    aged = (first * (1 - second) * case.task.portions[0] * when[0]).sum(1)
    work = work_of(cluster.task, one.found.steps) + work_of(cluster.task, leaf.found.steps)
    bars = joint.barred(joint.work)
    assert joint.cost() == pytest.approx(float((eaten + aged).mean()) + work + bars, rel=1e-6)
