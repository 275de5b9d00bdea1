"""What taking a planting out does to the insects of its cluster, and they to what follows it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.goes_on import with_later
from lattermath.desk.insect_cluster import Cluster, Searched, found_there
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.tables import Tables
from lattermath.planning.course_task import Step, hazards, run_course
from lattermath.planning.fates import Care, TreatedAnew
from lattermath.planning.near_courses import without_work_on

MOST_ASKED = 6  # judgement: plantings whose taking out is run through, in one plan


@dataclass(frozen=True, slots=True, eq=False)
class Emptied:
    """One organism with one planting taken out and clean plants in its place.

    beside : what its other plantings keep by it, (n_draws,). [portions]
    helps  : what they keep where it stays and is treated, (n_draws,). [portions]
             Both beside what they keep where it stays and is left alone.
    left   : share that feeding leaves of clean plants there, (n_draws, n_left); their host as the
             old ones.
    lives  : crops it lives on; what follows of others loses nothing to it.
    treated, minutes, treatments : the same share of clean plants of the old crop that are treated
             after the first visit as the course treats this place, and what that takes.
    """

    beside: NDArray[np.float64]
    helps: NDArray[np.float64]
    left: NDArray[np.float64]
    lives: frozenset[str]
    treated: NDArray[np.float64]
    minutes: float = 0.0
    treatments: float = 0.0


def emptied(searched: Searched, key: str, crops: Collection[str]) -> Emptied | None:
    """Run the courses on with one planting clean from this morning on; None where none lives there.

    What it carries goes into the bag with it, but for adults that are off. Treatments of it fall
    away, those of the others are as found. Clean plants are run untreated, and as the course would
    treat that place after the first visit. All runs meet the same chance, so that their difference
    is what was taken out.
    """
    cluster, task = searched.cluster, searched.task
    place = next((n for n, s in enumerate(task.belief.stands) if s.key == key), None)
    if place is None:
        return None
    life = task.belief.life
    escape = escape_of(cluster.facts.tables)
    steps, found = without_work_on(searched.found.steps, place), searched.found
    later = cluster.later_uses(place)
    left_alone = _not_gone_on_with(task.belief, task.visits[-1], place) if later else task.belief
    then = run_course(clean(left_alone, (place,), escape), steps, task.visits)
    alone = found.with_it
    if later or steps != found.steps:
        alone = run_course(left_alone, steps, task.visits)
    others = [n for n in range(len(task.belief.stands)) if n != place]
    loses, clear, helped = (
        task.stakes.lost(run)[:, others].sum(1) for run in (alone, then, found.with_it)
    )
    crosswalk = cluster.facts.tables.crosswalk
    left = task.stakes.kept_by_new(then, place)
    lives = frozenset(crop for crop in crops if life.figures.host(crop, crosswalk) is not None)
    out = Emptied(np.asarray(loses - clear), np.asarray(loses - helped), left, lives, left)
    mine = [step for step in found.steps if step.visit > 0 and place in step.places]
    if not mine and not later:
        return out
    tonight = without_work_on(tuple(s for s in found.steps if s.visit == 0), place)
    cared = run_course(
        clean(task.belief, (place,), escape), (*tonight, *_after_first(found.steps)), task.visits
    )
    used = [*(step.candidate for step in mine), *later]
    return replace(
        out,
        treated=task.stakes.kept_by_new(cared, place),
        minutes=sum(searched.rulings.minutes(candidate, place) for candidate in used),
        treatments=hazards(used, cluster.facts.plot.household.worth_of_treatment),
    )


def _not_gone_on_with(belief: ClusterBelief, last: int, place: int) -> ClusterBelief:
    """The cluster without what is done on one planting after the last visit."""
    applied = tuple(
        replace(one, places=tuple(p for p in one.places if p != place)) if one.day > last else one
        for one in belief.applied
    )
    return replace(belief, applied=applied)


def cleared(cluster: Cluster, keys: Collection[str]) -> Cluster:
    """The cluster with these plantings clean and not to be treated: they come out tonight."""
    places = [n for n, stand in enumerate(cluster.belief.stands) if stand.key in keys]
    if not places:
        return cluster
    escape, task = escape_of(cluster.facts.tables), cluster.task
    belief = clean(cluster.belief, places, escape)
    everywhere = frozenset(range(len(belief.stands)))
    where = (everywhere if task.where is None else task.where) - set(places)
    task = replace(task, belief=belief, where=where)
    later = None if cluster.later is None else cluster.later.without(places)
    return with_later(replace(cluster, belief=belief, task=task), later)


def clean(belief: ClusterBelief, places: Collection[int], escape: float) -> ClusterBelief:
    """The cluster with some plantings bagged where they stand and cut this morning.

    escape : share of the adults that is off before the bag is tied. [0 to 1]

    All that cannot fly goes into the bag. Of kinds that work puts up those who are off settle on
    the other plantings by distance; bare paths cost some of them, as they do all that cross.
    """
    state, life = belief.state.copy(), belief.life
    out = sorted(places)
    there = [n for n in range(len(belief.stands)) if n not in out]
    adults = state[:, out] * (life.layout.stage_of_class == len(life.stages) - 1)
    state[:, out] = 0.0
    off = min(escape, life.figures.put_up)
    if there and off > 0:
        reach = belief.settle[np.ix_(out, there)]
        total = reach.sum(1, keepdims=True)
        to = np.divide(reach, total, out=np.zeros_like(reach), where=total > 0)
        crosses = off * np.minimum(belief.unknowns.crosses, 1.0)
        come = crosses[:, None, None] * np.einsum("dpc,pq->dqc", adults, to)
        state[:, there] += come.astype(state.dtype)
    return replace(belief, state=state)


def escape_of(tables: Tables) -> float:
    """Share of the adults that is not caught where a plant is bagged before it is cut. [0 to 1]"""
    rows = tables.methods["remove_plant"].efficacy
    bagged = next(row.percent.value for row in rows if "bagged" in row.target)
    return 1.0 - bagged / 100.0


def with_pulling(
    facts: SeasonFacts,
    searched: Sequence[Searched],
    cares: Mapping[str, Care],
    keys: Collection[str],
) -> dict[str, Care]:
    """The cares with what taking each of these plantings out would do, organism by organism."""
    found = dict(cares)
    waiting = {lot.crop for lot in facts.plot.lots}
    crops = waiting | {packet.crop for packet in facts.plot.tin.packets}
    for key in keys:
        runs = {
            one.cluster.belief.organism: run
            for one in searched
            if (run := emptied(one, key, crops)) is not None
        }
        if not runs:
            continue
        care, crop = found.get(key, Care()), facts.plot.planting(key).crop
        told = _joined(tuple(runs.values()), crops, crop)
        seen = care.seen
        if seen is not None:
            on_it = tuple(
                run
                for one in searched
                if (run := runs.get(one.cluster.belief.organism)) is not None
                and key in found_there(one.cluster)
            )
            seen = replace(seen, **_joined(on_it, crops, crop)) if on_it else seen
        found[key] = replace(care, **told, seen=seen)
    return found


class _Told(TypedDict):
    anew: dict[str, NDArray[np.float64]]
    beside: NDArray[np.float64]
    helps: NDArray[np.float64]
    treated: TreatedAnew | None


def _joined(runs: Sequence[Emptied], crops: Collection[str], crop: str) -> _Told:
    """What taking it out does to all of these together."""
    return {
        "anew": _left_of_each(runs, crops),
        "beside": np.sum([run.beside for run in runs], axis=0),
        "helps": np.sum([run.helps for run in runs], axis=0),
        "treated": _treated(runs, crop),
    }


def _left_of_each(
    runs: Sequence[Emptied], crops: Collection[str]
) -> dict[str, NDArray[np.float64]]:
    """Share that is left of clean plants of each crop, crops of the same eaters side by side."""
    eaters = {crop: tuple(n for n, run in enumerate(runs) if crop in run.lives) for crop in crops}
    left = {who: np.prod([runs[n].left for n in who], axis=0) for who in {*eaters.values()} if who}
    return {crop: left[who] for crop, who in eaters.items() if who}


def _treated(runs: Sequence[Emptied], crop: str) -> TreatedAnew | None:
    """What all of them leave of clean plants of the old crop, treated; None where none would be."""
    living = [run for run in runs if crop in run.lives]
    if not any(run.minutes for run in living):
        return None
    left = np.asarray(np.prod([run.treated for run in living], axis=0))
    minutes = sum(run.minutes for run in living)
    return TreatedAnew(left, minutes, sum(run.treatments for run in living))


def _after_first(steps: Iterable[Step]) -> tuple[Step, ...]:
    return tuple(step for step in steps if step.visit > 0)
