"""The courses against all that lives on the plantings, each with all the others as given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.insect_course import cost_of, costs_in_few, without_runs
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.leaf_disease_course import LeafCase, LeafSearched, leaf_cost, leaf_work_of
from lattermath.planning.shared_treatments import hopeful, surely_above
from lattermath.planning.treating import Spraying

FloatArray = NDArray[np.float64]


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

    def felt_by_others(self, n: int) -> bool:
        """Does the work against one cluster of insects take of anything else that is reckoned?"""
        work = [one for _, one in own_work(self.insects[n])]
        others = (one for m, one in enumerate(self.insects) if m != n)
        return any(_feels(one.cluster, work) for one in others) or any(
            _leaf_feels(one.case, work) for one in self.leaves
        )

    def cheaper_than(self, other: Joint, enough: float = inf) -> float:
        """By how much less this costs; only who feels what differs is reckoned. [portions]

        Where the draws that are searched make it unlikely to be more than the least gain, what
        they say is given, and not all draws are run; so too where they make it as good as sure to
        be more than is `enough`.
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
        if not hopeful(few) or surely_above(few, enough):
            return float(few.mean())
        return sum(other.insect_cost(n) - self.insect_cost(n) for n in insects) + by_leaves


def _feels(cluster: Cluster, work: Sequence[Spraying]) -> bool:
    """Does any of this work take of a cluster?"""
    keys = {stand.key for stand in cluster.belief.stands}
    return bool(cluster.effects([one.method for one in work if one.planting.key in keys]))


def _leaf_feels(case: LeafCase, work: Sequence[Spraying]) -> bool:
    keys = {stand.key for stand in case.belief.stands}
    return any(one.method in case.known and one.planting.key in keys for one in work)
