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
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.insect_course import (
    beside,
    cost_of,
    costs_in_few,
    from_words,
    told_in_words,
    whole,
    without_runs,
)
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.kept_courses import bits_of, bytes_of
from lattermath.desk.kept_work import Arrays, digest_of, remembered
from lattermath.desk.leaf_disease_course import (
    LeafCase,
    LeafSearched,
    leaf_beside,
    leaf_cost,
    leaf_from_words,
    leaf_in_words,
    leaf_work_of,
    search_leaf,
)
from lattermath.planning import near_courses
from lattermath.planning.course_task import Step
from lattermath.planning.shared_treatments import LEAST_GAIN, hopeful
from lattermath.planning.steps_allowed import allowed
from lattermath.planning.treating import Spraying

FloatArray = NDArray[np.float64]

TRIED_VISITS = 6  # judgement: visits at which a treatment that helps both is tried
TRIALS = 40  # judgement: changes of single treatments that are tried


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """The courses of all clusters and of all diseases, each in its own order."""

    insects: tuple[Searched, ...]
    leaves: tuple[LeafSearched, ...]
    _costs: dict[tuple[str, int], float] = field(default_factory=dict)
    _few: dict[int, FloatArray] = field(default_factory=dict)

    @property
    def work(self) -> Others:
        """All treatments, by day."""
        return (*self.beside_insect(-1), *self.leaf_work(-1))

    @property
    def to_begin_from(self) -> tuple[Searched, ...]:
        """The courses against insects without their runs."""
        return tuple(map(without_runs, self.insects))

    def beside_insect(self, n: int) -> Others:
        """Treatments against insects but those of one cluster."""
        return tuple(w for m, one in enumerate(self.insects) if m != n for w in own_work(one))

    def leaf_work(self, n: int) -> Others:
        """Treatments against leaf diseases but those of one."""
        return tuple(
            work
            for m, one in enumerate(self.leaves)
            if m != n
            for work in leaf_work_of(one.case, one.found.steps)
        )

    def with_leaf(self, n: int, one: LeafSearched) -> Joint:
        """The same with another course against one disease."""
        return Joint(self.insects, (*self.leaves[:n], one, *self.leaves[n + 1 :]))

    def with_insect(self, n: int, one: Searched) -> Joint:
        """The same with another course against one cluster."""
        return Joint((*self.insects[:n], one, *self.insects[n + 1 :]), self.leaves)

    def insect_cost(self, n: int) -> float:
        """Damage and work of one cluster as all stands. [portions]"""
        if ("insects", n) not in self._costs:
            beside = (*self.beside_insect(n), *self.leaf_work(-1))
            self._costs["insects", n] = cost_of(self.insects[n], beside)
        return self._costs["insects", n]

    def few_costs(self, n: int) -> FloatArray:
        """The same in the draws that are searched. [portions]"""
        if n not in self._few:
            self._few[n] = costs_in_few(
                self.insects[n], (*self.beside_insect(n), *self.leaf_work(-1))
            )
        return self._few[n]

    def leaf_cost(self, n: int) -> float:
        """Damage and work of one disease as all stands. [portions]"""
        if ("leaves", n) not in self._costs:
            beside = (*self.beside_insect(-1), *self.leaf_work(n))
            self._costs["leaves", n] = leaf_cost(self.leaves[n], beside)
        return self._costs["leaves", n]

    def cost(self) -> float:
        """The same of all. [portions]"""
        insects, leaves = range(len(self.insects)), range(len(self.leaves))
        own = sum(map(self.insect_cost, insects)) + sum(map(self.leaf_cost, leaves))
        return own + self.barred(self.work)

    def barred(self, work: Others) -> float:
        """What the pickings that all of this work bars cost, each once. [portions]"""
        rulings = [*(one.rulings for one in self.insects), *(one.rulings for one in self.leaves)]
        bars = next((one.bars for one in rulings), None)
        return 0.0 if bars is None else bars.lost(work)

    def cheaper_than(self, other: Joint) -> float:
        """By how much less this costs; only who feels what differs is reckoned. [portions]

        Where the draws that are searched make it unlikely to be more than the least gain, what
        they say is given, and not all draws are run.
        """
        mine, theirs = self.work, other.work
        differs = [
            one for work in (mine, theirs) for _, one in set(work) - (set(mine) & set(theirs))
        ]
        insects = [
            n
            for n, one in enumerate(self.insects)
            if one is not other.insects[n] or _feels(one.cluster, differs)
        ]
        leaves = [
            n
            for n, one in enumerate(self.leaves)
            if one is not other.leaves[n] or _leaf_feels(one.case, differs)
        ]
        by_leaves = sum(other.leaf_cost(n) - self.leaf_cost(n) for n in leaves)
        by_leaves += self.barred(theirs) - self.barred(mine)
        if not insects:
            return by_leaves
        few = np.sum([other.few_costs(n) - self.few_costs(n) for n in insects], axis=0) + by_leaves
        if not hopeful(few):
            return float(few.mean())
        return sum(other.insect_cost(n) - self.insect_cost(n) for n in insects) + by_leaves


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
) -> Joint:
    """The courses against all, in the order given, searched once and then kept.

    start : courses found for the same clusters where more could be treated, to begin from.

    Each is told with all else as given: its runs are made again and not kept.
    """
    asked = [(bits_of(one.task), one.rulings.made_from) for one in clusters]
    key = digest_of(asked, [case.bits for case in cases], [*map(told_in_words, start)])

    def work() -> Arrays:
        joint = _search_all(clusters, cases, partial(search_together, start=start))
        words = [*map(told_in_words, joint.insects)], [*map(leaf_in_words, joint.leaves)]
        return {"found": bytes_of(words)}

    insects, leaves = json.loads(remembered("all", key, work)["found"].tobytes())
    bare = Joint(
        tuple(from_words(one, words) for one, words in zip(clusters, insects, strict=True)),
        tuple(leaf_from_words(one, words) for one, words in zip(cases, leaves, strict=True)),
    )
    return _told(bare)


def _search_all(
    clusters: Sequence[Cluster],
    cases: Sequence[LeafCase],
    search_together: Callable[[Sequence[Cluster], Others], Sequence[Searched]],
) -> Joint:
    leaves = _in_turn(cases, ())
    given = Joint((), leaves).leaf_work(-1)
    joint = Joint(tuple(search_together(clusters, given)), leaves)
    shared = _shared(clusters, cases)
    if not shared:
        return joint
    if given:
        first = tuple(search_together(clusters, ()))
        if Joint(first, ()).work != joint.beside_insect(-1):  # else what comes next finds the same
            turned = Joint(first, _in_turn(cases, Joint(first, ()).work))
            joint = min((joint, turned), key=Joint.cost)
    return _settled(_leaves_again(joint, shared), shared)


def _in_turn(cases: Sequence[LeafCase], given: Others) -> tuple[LeafSearched, ...]:
    """Each disease beside those that would cost more, in the order given."""
    order = sorted(range(len(cases)), key=lambda n: (-cases[n].cost_of_nothing, n))
    found: dict[int, LeafSearched] = {}
    for n in order:
        before = Joint((), tuple(found.values())).leaf_work(-1)
        found[n] = search_leaf(cases[n], (*given, *before))
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
        tried = search_leaf(one.case, others, _besides(joint, n, feel) if feel else None)
        joint = _cheaper(joint, joint.with_leaf(n, tried))
    return joint


def _besides(joint: Joint, n: int, feel: Sequence[int]) -> Callable[[Others], float]:
    """What these clusters cost under the work of a series against one disease."""
    leaves = joint.leaf_work(n)

    def cost(work: Others) -> float:
        given = {m: (*joint.beside_insect(m), *leaves, *work) for m in feel}
        return sum(float(costs_in_few(joint.insects[m], given[m]).mean()) for m in feel)

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
        leaf = leaf_beside(one, (*joint.beside_insect(-1), *joint.leaf_work(n)))
        for steps in _ways(leaf.found.steps, len(leaf.task.visits)):
            if allowed(leaf.task, steps):
                yield joint.with_leaf(n, replace(leaf, found=replace(leaf.found, steps=steps)))
    for n, two in enumerate(joint.insects):
        if not _on(two.cluster, shared):
            continue
        mine = beside(two, (*joint.beside_insect(n), *joint.leaf_work(-1)))
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


def _feels(cluster: Cluster, work: Sequence[Spraying]) -> bool:
    """Does any of this work take of a cluster?"""
    keys = {stand.key for stand in cluster.belief.stands}
    return bool(cluster.effects([one.method for one in work if one.planting.key in keys]))


def _leaf_feels(case: LeafCase, work: Sequence[Spraying]) -> bool:
    keys = {stand.key for stand in case.belief.stands}
    return any(one.method in case.known and one.planting.key in keys for one in work)


def _told(joint: Joint) -> Joint:
    """The same, each with all else as given: it is told, and looked after, beside that."""
    insects = tuple(
        whole(beside(one, (*joint.beside_insect(n), *joint.leaf_work(-1))))
        for n, one in enumerate(joint.insects)
    )
    leaves = tuple(
        leaf_beside(one, (*joint.beside_insect(-1), *joint.leaf_work(n)))
        for n, one in enumerate(joint.leaves)
    )
    return Joint(insects, leaves)


def _shared(clusters: Sequence[Cluster], cases: Sequence[LeafCase]) -> frozenset[str]:
    """Plantings with insects and a leaf disease."""
    insects = {key for one in clusters for key in _keys(one)}
    return frozenset(insects & {key for one in cases for key in one.ill})


def _keys(one: Cluster | LeafCase) -> frozenset[str]:
    return frozenset(stand.key for stand in one.belief.stands if stand.treatable)


def _on(one: Cluster | LeafCase, plantings: frozenset[str]) -> bool:
    return bool(_keys(one) & plantings)
