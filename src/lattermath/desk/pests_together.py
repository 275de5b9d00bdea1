"""Courses against insects and against leaf diseases together: which go first, and what both share.

Each is ruled with the others' treatments as given. Leaf diseases are searched in the order of what
they would cost, each beside those before it. Then either side goes first, and the cheaper of the
two joint plans is kept: a course of oil against whitefly may be worth the sulfur that it bars, or
not. At last each disease is searched once more beside all else, and single treatments against
insects are tried that take of a disease too; a change stays only where the sum of all falls.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Protocol

from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.insect_course import (
    from_words,
    going_on_pays,
    leaving,
    not_gone_on_with,
    of_cluster,
    takes_of,
    told_in_words,
    whole,
)
from lattermath.desk.joint_plan import Joint
from lattermath.desk.kept_courses import bits_of, bytes_of
from lattermath.desk.kept_work import Arrays, digest_of, remembered
from lattermath.desk.leaf_disease_course import (
    LeafCase,
    LeafSearched,
    leaf_from_words,
    leaf_in_words,
    search_leaf,
)
from lattermath.desk.worth_telling import worth_telling
from lattermath.planning import near_courses
from lattermath.planning.course_task import LEAST_TOLD, Step
from lattermath.planning.shared_treatments import LEAST_GAIN
from lattermath.planning.steps_allowed import allowed
from lattermath.planning.taken_together import costs_together

TRIED_VISITS = 6  # judgement: visits at which a treatment that helps both is tried
TRIALS = 40  # judgement: changes of single treatments that are tried


class SearchInsects(Protocol):
    """The courses of all clusters beside given work, as in joint_courses."""

    def __call__(
        self, clusters: Sequence[Cluster], given: Others, *, start: Sequence[Searched]
    ) -> Sequence[Searched]:
        """In the order of the clusters."""


def search_all(
    clusters: Sequence[Cluster],
    cases: Sequence[LeafCase],
    search_together: SearchInsects,
    start: Sequence[Searched] = (),
    least: float = LEAST_TOLD,
) -> Joint:
    """The courses against all, in the order given, searched once and then kept.

    start : courses found for the same clusters where more could be treated, to begin from.
    least : what a course against insects must gain, else nothing is done; 0: all that gains.
            [portions]

    What is gone on with after the weeks searched and does not pay of what the others leave is left
    off, and all is searched without it. Each is told with all else as given: its runs are made
    again and not kept.
    """
    joint, idle, pays = _kept_search(clusters, cases, search_together, start, least)
    if not all(pays):
        fewer = [one if pays[n] else not_gone_on_with(one) for n, one in enumerate(clusters)]
        joint, idle, _ = _kept_search(fewer, cases, search_together, start, least)
    return _told(joint, idle)


def _kept_search(
    clusters: Sequence[Cluster],
    cases: Sequence[LeafCase],
    search_together: SearchInsects,
    start: Sequence[Searched],
    least: float,
) -> tuple[Joint, Sequence[float | None], Sequence[bool]]:
    """The courses as they were found, not told yet; as of `_dearer_idle`, and whether what is gone
    on with pays, of each cluster."""
    asked = [(bits_of(one.task), one.rulings.made_from) for one in clusters]
    key = digest_of(asked, [case.bits for case in cases], [*map(told_in_words, start)], least)

    def work() -> Arrays:
        joint = _search_all(clusters, cases, partial(search_together, start=start))
        joint = worth_telling(joint, least)
        words = [*map(told_in_words, joint.insects)], [*map(leaf_in_words, joint.leaves)]
        every = range(len(joint.insects))
        idle = [_dearer_idle(joint, n) for n in every]
        pays = [going_on_pays(joint.insect_as_it_stands(n)) for n in every]
        return {"found": bytes_of((*words, idle, pays))}

    insects, leaves, idle, pays = json.loads(remembered("all", key, work)["found"].tobytes())
    joint = Joint(
        tuple(from_words(one, words) for one, words in zip(clusters, insects, strict=True)),
        tuple(leaf_from_words(one, words) for one, words in zip(cases, leaves, strict=True)),
    )
    return joint, idle, pays


def _search_all(
    clusters: Sequence[Cluster],
    cases: Sequence[LeafCase],
    search_together: Callable[[Sequence[Cluster], Others], Sequence[Searched]],
) -> Joint:
    leaves = _in_turn(cases, Joint((), ()))
    given = Joint((), leaves).leaf_work(-1)
    joint = _insects_beside(clusters, Joint((), leaves), search_together)
    shared = _shared(clusters, cases)
    if not shared:
        return joint
    if given:
        first = _insects_beside(clusters, Joint((), ()), search_together)
        if first.work != joint.beside_insect(-1):  # else what comes next finds the same
            turned = Joint(first.insects, _in_turn(cases, first))
            joint = min((joint, turned), key=Joint.cost)
    return _settled(_leaves_again(joint, shared), shared)


def _insects_beside(
    clusters: Sequence[Cluster],
    joint: Joint,
    search_together: Callable[[Sequence[Cluster], Others], Sequence[Searched]],
) -> Joint:
    """The courses against insects beside what is done against diseases, and what these leave."""
    left = joint.left_beside()
    found = search_together([leaving(one, left) for one in clusters], joint.leaf_work(-1))
    return Joint(tuple(map(of_cluster, clusters, found)), joint.leaves)


def _in_turn(cases: Sequence[LeafCase], insects: Joint) -> tuple[LeafSearched, ...]:
    """Each disease beside those that would cost more, in the order given.

    insects : the courses against insects that are known by then.
    """
    order = sorted(range(len(cases)), key=lambda n: (-cases[n].cost_of_nothing, n))
    found: dict[int, LeafSearched] = {}
    for n in order:
        before = Joint(insects.insects, tuple(found.values()))
        found[n] = search_leaf(cases[n], before.work, left=before.left_beside())
    return tuple(found[n] for n in range(len(cases)))


def _leaves_again(joint: Joint, shared: frozenset[str]) -> Joint:
    """Each disease once more beside all else, what its work takes of insects counted."""
    for n, one in enumerate(joint.leaves):
        others = (*joint.beside_insect(-1), *joint.leaf_work(n))
        feel = [
            m
            for m, beside in enumerate(joint.insects)
            if _on(beside.cluster, _keys(one.case) & shared)
            and beside.cluster.effects([c.method for c in one.task.candidates])
        ]
        besides = _besides(joint, n, feel) if feel else None
        tried = search_leaf(one.case, others, besides, joint.left_beside(("leaves", n)))
        joint = _cheaper(joint, joint.with_leaf(n, tried))
    return joint


def _besides(joint: Joint, n: int, feel: Sequence[int]) -> Callable[[Others], float]:
    """What these clusters cost under the work of a series against one disease, of what all else
    leaves as it stands."""
    leaves = joint.leaf_work(n)
    rest = joint.left_beside(*(("insects", m) for m in feel), few=True)

    def cost(work: Others) -> float:
        given = {m: (*joint.beside_insect(m), *leaves, *work) for m in feel}
        takes = [takes_of(joint.insects[m], given[m], few=True) for m in feel]
        return float(costs_together(takes, rest).mean())

    return cost


def _settled(joint: Joint, shared: frozenset[str]) -> Joint:
    """Single treatments taken away, moved by a visit, or put where they help both.

    A change stays where the sum falls; trials are counted, and few.
    """
    trials = 0
    while trials < TRIALS:
        now = joint
        for tried in itertools.islice(_one_changed(now, shared), TRIALS - trials):
            trials += 1
            joint = _cheaper(now, tried)
            if joint is not now:
                break
        if joint is now:
            break
    return joint


def _one_changed(joint: Joint, shared: frozenset[str]) -> Iterator[Joint]:
    """Joint plans with one treatment of one course changed, as far as the rulings allow all."""
    for n, one in enumerate(joint.leaves):
        if not _on(one.case, shared):
            continue
        leaf = joint.leaf_as_it_stands(n)
        for steps in _ways(leaf.found.steps, len(leaf.task.visits)):
            if allowed(leaf.task, steps):
                yield joint.with_leaf(n, replace(leaf, found=replace(leaf.found, steps=steps)))
    for n, two in enumerate(joint.insects):
        if not _on(two.cluster, shared):
            continue
        mine = joint.insect_as_it_stands(n)
        more = _more(mine, joint, n, shared)
        for steps in (*_ways(mine.found.steps, len(mine.task.visits)), *more):
            if allowed(mine.task, steps):
                yield joint.with_insect(n, replace(mine, found=replace(mine.found, steps=steps)))


def _ways(steps: tuple[Step, ...], n_visits: int) -> Iterator[tuple[Step, ...]]:
    """The course with one step taken away, or moved by a visit."""
    for k in range(len(steps)):
        yield near_courses.without(steps, k)
        yield from near_courses.moved(steps, k, n_visits)


def _more(
    mine: Searched, joint: Joint, n: int, shared: frozenset[str]
) -> Iterator[tuple[Step, ...]]:
    """The course with one treatment more, where it takes of a disease worth reckoning on."""
    steps, stands = mine.found.steps, mine.task.belief.stands
    has = {(s.candidate.key, s.visit, place) for s in steps for place in s.places}
    for candidate, place in itertools.product(mine.task.candidates, range(len(stands))):
        key = stands[place].key
        if key not in shared or not stands[place].treatable:
            continue
        sick = [m for m, leaf in enumerate(joint.leaves) if key in leaf.case.ill
                and candidate.method in leaf.case.known]  # fmt: skip
        used = sum(s.candidate.key == candidate.key and place in s.places for s in steps)
        if not sick or used >= candidate.most_uses:
            continue
        for visit in range(min(TRIED_VISITS, len(mine.task.visits))):
            if (candidate.key, visit, place) in has:
                continue
            longer = near_courses.in_order((*steps, Step(visit, candidate, (place,))))
            tried = replace(mine, found=replace(mine.found, steps=longer))
            more = joint.with_insect(n, tried)
            if sum(joint.leaf_cost(m) - more.leaf_cost(m) for m in sick) > LEAST_GAIN:
                yield longer


def _cheaper(now: Joint, tried: Joint) -> Joint:
    """The one that costs less; what stands unless it falls by enough."""
    if now.work == tried.work:
        return now
    return tried if tried.cheaper_than(now) > LEAST_GAIN else now


def _told(joint: Joint, idle: Sequence[float | None]) -> Joint:
    """The same, each with all else as given: it is told, and looked after, beside that, and priced
    of what all others leave.

    idle : as of `_dearer_idle`, for each course against insects.
    """
    insects = tuple(
        _priced_besides(whole(joint.insect_as_it_stands(n)), more) for n, more in enumerate(idle)
    )
    leaves = tuple(joint.leaf_as_it_stands(n) for n in range(len(joint.leaves)))
    return Joint(insects, leaves)


def _dearer_idle(joint: Joint, n: int) -> float | None:
    """By how much all together cost more where nothing is done against one, whose work takes of
    others too; None where it takes of no other, or there is none. [portions]"""
    one = joint.insects[n]
    if not one.found.steps or not joint.felt_by_others(n):
        return None
    idle = replace(one, found=replace(one.found, steps=()))
    return joint.cheaper_than(joint.with_insect(n, idle))


def _priced_besides(told: Searched, more: float | None) -> Searched:
    """The same with what doing nothing against it would cost of others that its work takes of."""
    found = told.found
    own = next((one.cost for one in found.alternatives if not one.steps), None)
    if more is None or own is None:
        return told
    others = tuple(
        one if one.steps else replace(one, besides=max(more - own, 0.0))
        for one in found.alternatives
    )
    return replace(told, found=replace(found, alternatives=others))


def _shared(clusters: Sequence[Cluster], cases: Sequence[LeafCase]) -> frozenset[str]:
    """Plantings with insects and a leaf disease."""
    insects = {key for one in clusters for key in _keys(one)}
    return frozenset(insects & {key for one in cases for key in one.ill})


def _keys(one: Cluster | LeafCase) -> frozenset[str]:
    return frozenset(stand.key for stand in one.belief.stands if stand.treatable)


def _on(one: Cluster | LeafCase, plantings: frozenset[str]) -> bool:
    return bool(_keys(one) & plantings)
