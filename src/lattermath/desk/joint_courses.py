"""Courses against several organisms together: each is searched again beside those of the others.

Coordinate exchange: first one after the other, by what each would cost; then each again, given the
others' treatments and what its own save of the others, for a bounded number of rounds. A change is
kept only where the sum of all damage and work falls.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from lattermath.desk.insect_course import (
    Cluster,
    Others,
    Searched,
    belief_of,
    cost_of,
    cost_of_nothing,
    search,
)
from lattermath.desk.insect_work import own_work
from lattermath.planning.shared_treatments import Prices, bonus_for

ROUNDS = 2  # judgement: with two clusters the second changes nothing in nearly all cases
LEAST_GAIN = 1e-6  # portions


def search_together(clusters: Sequence[Cluster], given: Others = ()) -> list[Searched]:
    """The courses of all clusters, in their order.

    given : treatments already planned, against leaf diseases, which count for all.
    """
    order = _by_stake(clusters)
    found = _one_after_the_other(clusters, order, given)
    for _ in range(ROUNDS):
        changes = [_again(n, found, given) for n in order]
        if not any(changes):
            break
    return found


def total_cost(found: Sequence[Searched], given: Others = ()) -> float:
    """Damage and work of all clusters, each with what is done against the others. [portions]"""
    return sum(cost_of(one, _others(n, found, given)) for n, one in enumerate(found))


def _one_after_the_other(
    clusters: Sequence[Cluster], order: Sequence[int], given: Others
) -> list[Searched]:
    """Each beside what is planned so far."""
    found: dict[int, Searched] = {}
    for n in order:
        found[n] = search(clusters[n], (*given, *_work_of(found.values())))
    return [found[n] for n in range(len(clusters))]


def _by_stake(clusters: Sequence[Cluster]) -> list[int]:
    """Places by what doing nothing costs, the dearest first, in the order of the table else."""
    costs = [cost_of_nothing(cluster) for cluster in clusters]
    return sorted(range(len(clusters)), key=lambda n: (-costs[n], n))


def _again(n: int, found: list[Searched], given: Others) -> bool:
    """Search one again beside the others; True where the change was worth while."""
    beside = [m for m in range(len(found)) if m != n and _meet(found[n], found[m])]
    if not beside:
        return False
    others = _others(n, found, given)
    tried = search(found[n].cluster, others, _bonus(n, beside, found, given))
    if own_work(tried) == own_work(found[n]):
        return False
    changed = [*found]
    changed[n] = tried
    before, after = (
        sum(cost_of(some[m], _others(m, some, given)) for m in (n, *beside))
        for some in (found, changed)
    )
    if after > before - LEAST_GAIN:
        return False
    found[n] = tried
    return True


def _meet(one: Searched, other: Searched) -> bool:
    """Do they share plantings, and is there a means that takes of both?"""
    mine, theirs = ({s.key for s in x.cluster.belief.stands if s.treatable} for x in (one, other))
    if mine.isdisjoint(theirs):
        return False
    methods = [c.method for c in one.task.candidates]
    return bool(other.cluster.effects(methods)) or bool(own_work(other))


def _bonus(
    n: int, beside: Sequence[int], found: Sequence[Searched], given: Others
) -> dict[tuple[str, int, int], float]:
    """What each treatment against one saves of those beside it, as they stand without it."""
    me = found[n]
    methods = [candidate.method for candidate in me.task.candidates]
    without = [one for k, one in enumerate(found) if k != n]
    priced = []
    for m in beside:
        other = found[m]
        rest = (*given, *_work_of(one for one in without if one is not other))
        task = replace(other.task, belief=belief_of(other, rest))
        priced.append((Prices.of(task, other.found.steps), other.cluster.effects(methods)))
    return bonus_for(me.task, priced)


def _others(n: int, found: Sequence[Searched], given: Others) -> Others:
    return (*given, *_work_of(one for m, one in enumerate(found) if m != n))


def _work_of(found: Iterable[Searched]) -> Others:
    return tuple(work for one in found for work in own_work(one))
