"""The search of a course against one cluster, what is done against others counted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.covers import (
    MESH_MIN_M2,
    MESH_ONCE_MIN,
    covered_now,
    keeps_out,
    mesh_candidate,
    under_cover,
)
from lattermath.desk.film_on_leaves import filmed
from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.kept_courses import beside_what, found_in, priced_anew, search_course, words_of
from lattermath.desk.particle_film import film_work, with_film
from lattermath.planning import course_task, courses, near_courses
from lattermath.planning.common_draws import on_few
from lattermath.planning.common_draws import searched as drawn
from lattermath.planning.means import MESH
from lattermath.planning.shared_treatments import damage_of, runs_in_few
from lattermath.planning.taken_together import Left, Takes, left_in, over_all_days

if TYPE_CHECKING:
    from lattermath.planning.stakes import Stakes

FloatArray = NDArray[np.float64]

ALL: Left = {}  # nobody else takes anything
NARROW = (8, 2)  # judgement: courses kept from visit to visit, and re-run, in a narrow search
MESH_MIN_VISIT = 2.0  # judgement: lifting it and closing it again at each visit


def search(
    cluster: Cluster,
    others: Others,
    bonus: Mapping[tuple[str, int, int], float] | None = None,
    left: Left = ALL,
) -> Searched:
    """The best course beside what is done against others.

    bonus : what each treatment saves of other organisms (planning.shared_treatments). With it the
            search is a narrow one on few draws, since whoever asks weighs what it finds; None:
            the whole search.
    left  : share of each planting's yield that all others leave; no more is there to be saved.
    """
    rulings = replace(cluster.rulings, others=others, _ruled={})
    task = replace(
        cluster.task,
        belief=counted(cluster, others),
        stakes=_stakes_beside(cluster, left),
        permits=rulings.permit,
        barred=rulings.barred,
        taken=_taken(cluster, others),
    )
    if bonus is None:
        found = search_course(task, *rulings.made_from)
        plain = Searched(cluster, task, found, rulings, (), others)
        best = with_film(_with_mesh(plain) or plain)
        return replace(best, priced=_course_beside(best))
    task = replace(task, bonus=bonus, width=NARROW)
    few = on_few(task)
    return Searched(cluster, task, search_course(few, *rulings.made_from), rulings, (), others)


def counted(cluster: Cluster, others: Others) -> ClusterBelief:
    """The cluster with what is done against others on its plantings, and what is gone on with."""
    belief, facts = cluster.belief, cluster.facts
    keys = [stand.key for stand in belief.stands]
    effects = cluster.effects([one.method for _, one in others])
    more = [] if cluster.later is None else [*cluster.later.applications(cluster.task)]
    for day, one in others:
        effect = effects.get(one.method)
        if effect is None or one.planting.key not in keys:
            continue
        reach = reach_of(effect, one.surfaces, courses.HAND_COVERAGE, belief.life.figures)
        at = facts.day_index(day) - belief.first_day
        more.append(Application(at, effect, (keys.index(one.planting.key),), reach))
    return replace(belief, applied=(*belief.applied, *more)) if more else belief


def takes_of(searched: Searched, others: Others, *, few: bool = False) -> Takes:
    """What a cluster takes under its own course and these treatments against others, by itself.

    few : in the draws that are searched.
    """
    belief, stakes = belief_of(searched, others), searched.cluster.task.stakes
    task, steps = replace(searched.task, belief=belief, stakes=stakes), searched.found.steps
    if few:
        stakes = _in_few(stakes, belief.n_draws, len(drawn(belief.n_draws)))
        sums = runs_in_few(task, steps)
    else:
        sums = course_task.run_evenly(task, steps)
    bears = _bears(stakes)
    work = course_task.work_of(task, steps) + _mesh_work(searched) + film_work(searched)
    keys = tuple(stand.key for stand in belief.stands)
    return Takes(keys, over_all_days(stakes.kept(sums), bears.shape[2]), bears, work)


# The same for every course of a cluster, of which many are weighed; some MB each.
@lru_cache(maxsize=6)
def _in_few(stakes: Stakes, n_draws: int, _searched: int) -> Stakes:
    return stakes.some(drawn(n_draws))


@lru_cache(maxsize=12)
def _bears(stakes: Stakes) -> FloatArray:
    return stakes.bears()


def cost_of(searched: Searched, others: Others) -> float:
    """Damage and work of a cluster under its own course and these treatments against others, of
    what its task says that all others leave."""
    task = replace(searched.task, belief=belief_of(searched, others))
    costs = course_task.cost_in_draws(task, searched.found.steps)
    return float(costs.mean()) + _mesh_work(searched) + film_work(searched)


def cost_of_nothing(cluster: Cluster) -> float:
    """Damage of a cluster if nothing at all is done. [portions]"""
    return damage_of(cluster.task, ())


def going_on_pays(searched: Searched) -> bool:
    """Is what is gone on with after these weeks worth its work, of what all others leave?

    It was chosen for this cluster by itself, before anybody knew what else takes of the crop.
    """
    later, task = searched.cluster.later, searched.task
    if later is None:
        return True
    alone = replace(searched, cluster=replace(searched.cluster, later=None))
    without = replace(task, belief=belief_of(alone, searched.others))
    lost, less = (
        float(course_task.losses_in_draws(one, searched.found.steps).sum(1).mean())
        for one in (without, task)
    )
    return lost - less > course_task.work_of(task, later.steps)


def not_gone_on_with(cluster: Cluster) -> Cluster:
    """The cluster with nothing reckoned after the weeks searched."""
    return replace(cluster, later=None, task=replace(cluster.task, belief=cluster.belief))


def whole(searched: Searched) -> Searched:
    """A course told on all draws: its runs, and its prices where they were of something else."""
    task = searched.task
    found = searched.found
    if searched.priced != _course_beside(searched):
        found = priced_anew(task, found, *searched.rulings.made_from)
    runs = (course_task.run_course(task.belief, s, task.visits) for s in (found.steps, ()))
    with_it, without = runs
    return replace(searched, found=replace(found, with_it=with_it, without=without))


def _course_beside(searched: Searched) -> str:
    """A digest of a course, of all that is done beside it, and of what others leave."""
    return beside_what(searched.found, searched.task, searched.mesh, searched.film)


def beside(searched: Searched, others: Others, left: Left = ALL) -> Searched:
    """The same course beside other treatments, and what all others leave; as it is where these are
    the same."""
    cluster = searched.cluster
    stakes = _stakes_beside(cluster, left)
    if others == searched.others and _same(stakes.left, searched.task.stakes.left):
        return searched
    rulings = replace(cluster.rulings, others=others, _ruled={})
    task = replace(
        searched.task,
        belief=belief_of(searched, others),
        stakes=stakes,
        permits=rulings.permit,
        barred=rulings.barred,
        taken=_taken(cluster, others),
    )
    return replace(searched, task=task, rulings=rulings, others=others)


def told_in_words(searched: Searched) -> dict[str, Any]:
    """What was found, without what was done against others and without its runs."""
    bonus = [[*key, saved] for key, saved in searched.task.bonus.items()]
    return {
        "found": words_of(searched.found),
        "mesh": searched.mesh,
        "film": searched.film,
        "bonus": bonus,
        "priced": searched.priced,
    }


def from_words(cluster: Cluster, words: Mapping[str, Any]) -> Searched:
    """The same course before anything done against others is counted."""
    bonus = {(key, visit, place): saved for key, visit, place, saved in words["bonus"]}
    task, never = replace(cluster.task, bonus=bonus), np.zeros((0, 0, 0, 0), dtype=np.float32)
    found = found_in(task, words["found"], never, never)
    mesh, film = tuple(words["mesh"]), tuple(words["film"])
    bare = Searched(cluster, task, found, cluster.rulings, mesh, (), film, words["priced"])
    return replace(bare, task=replace(task, belief=belief_of(bare, ())))


def leaving(cluster: Cluster, left: Left) -> Cluster:
    """The cluster where something else, that nobody asks of again, leaves so much."""
    stakes = _stakes_beside(cluster, left)
    return replace(cluster, task=replace(cluster.task, stakes=stakes))


def of_cluster(cluster: Cluster, searched: Searched) -> Searched:
    """A course that was found where something else took, told of the cluster by itself."""
    task = replace(searched.task, stakes=cluster.task.stakes)
    return replace(searched, cluster=cluster, task=task)


def without_runs(searched: Searched) -> Searched:
    """The same course without its runs, which take many MB; `whole` makes them again."""
    never = np.zeros((0, 0, 0, 0), dtype=np.float32)
    return replace(searched, found=replace(searched.found, with_it=never, without=never))


def restarted(cluster: Cluster, before: Searched) -> Searched:
    """A course found before, as far as it may go on where less may be treated than there was.

    Its prices, and of what was weighed beside it, are made anew where it is told.
    """
    every = range(len(cluster.belief.stands))
    may = frozenset(every) if cluster.task.where is None else cluster.task.where
    found = without_runs(before).found
    steps = near_courses.within(found.steps, may)
    others = tuple(
        replace(one, steps=near_courses.within(one.steps, may)) for one in found.alternatives
    )
    mesh, film = (tuple(p for p in laid if p in may) for laid in (before.mesh, before.film))
    found = replace(found, steps=steps, alternatives=others)
    bare = Searched(cluster, cluster.task, found, cluster.rulings, mesh, (), film)
    return replace(bare, task=replace(cluster.task, belief=belief_of(bare, ())))


def belief_of(searched: Searched, others: Others) -> ClusterBelief:
    """The cluster under the cover of its course, with what is done against others."""
    cluster = searched.cluster
    belief = counted(cluster, others)
    belief = under_cover(cluster.facts, belief, searched.mesh) if searched.mesh else belief
    return filmed(cluster.facts, belief, searched.film) if searched.film else belief


def _stakes_beside(cluster: Cluster, left: Left) -> Stakes:
    """What its plantings have to lose to it, where all others leave so much."""
    stakes, keys = cluster.task.stakes, [stand.key for stand in cluster.belief.stands]
    return stakes.beside(left_in(left, keys, stakes.bearing.shape[1]))


def _same(one: FloatArray | None, other: FloatArray | None) -> bool:
    if one is None or other is None:
        return one is other
    return np.array_equal(one, other)


def _taken(cluster: Cluster, others: Others) -> frozenset[tuple[str, int, int]]:
    """What is done anyway, against something else, that evening: it is not done twice."""
    at = {day: visit for visit, day in enumerate(cluster.visits)}
    places = {stand.key: place for place, stand in enumerate(cluster.belief.stands)}
    return frozenset(
        (one.product or one.method, at[day], places[one.planting.key])
        for day, one in others
        if day in at and one.planting.key in places
    )


def _with_mesh(plain: Searched) -> Searched | None:
    """The same with plantings covered from the first visit on, where that pays."""
    cluster, task = plain.cluster, plain.task
    places = _may_cover(plain)
    if not places:
        return None
    bare, shut = (
        course_task.run_course(belief, plain.found.steps, task.visits, by_chance=False)
        for belief in (task.belief, under_cover(cluster.facts, task.belief, places))
    )
    saved = (task.stakes.lost(bare) - task.stakes.lost(shut)).mean(0)
    pays = tuple(p for p in places if saved[p] > _mesh_minutes(plain, p) * task.minute_costs)
    if not pays:
        return None
    meshed = replace(task, belief=under_cover(cluster.facts, task.belief, pays))
    found = search_course(meshed, *plain.rulings.made_from)
    tried = replace(plain, task=meshed, found=found, mesh=pays)
    return tried if found.cost + _mesh_work(tried) < plain.found.cost else None


def _may_cover(plain: Searched) -> list[int]:
    """Own places on which a cover that serves may be laid at the first visit."""
    cluster, facts = plain.cluster, plain.cluster.facts
    if keeps_out(facts, cluster.belief.organism) is None or not plain.task.visits:
        return []
    under, laid = covered_now(facts), {one.planting.key for _, one in plain.others
                                       if one.method == MESH}  # fmt: skip
    return [
        place
        for place, stand in enumerate(cluster.belief.stands)
        if stand.treatable and stand.key not in under | laid
        if plain.rulings.permit(mesh_candidate(facts), 0, stand.key, ()).allowed
    ]


def _mesh_minutes(searched: Searched, place: int) -> float:
    """Minutes of one covered planting, laying and lifting; what is once a visit is left out."""
    area = searched.cluster.belief.stands[place].area_m2
    return MESH_MIN_M2 * area + MESH_MIN_VISIT * len(searched.task.visits)


def _mesh_work(searched: Searched) -> float:
    if not searched.mesh:
        return 0.0
    minutes = MESH_ONCE_MIN + sum(_mesh_minutes(searched, place) for place in searched.mesh)
    return minutes * searched.task.minute_costs
