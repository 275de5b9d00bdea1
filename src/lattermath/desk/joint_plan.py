"""The courses against all that lives on the plantings, each with all the others as given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.insect_course import beside, takes_of, without_runs
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.leaf_disease_course import (
    LeafCase,
    LeafSearched,
    leaf_beside,
    leaf_takes,
    leaf_work_of,
)
from lattermath.planning.common_draws import searched as drawn
from lattermath.planning.shared_treatments import hopeful, surely_above
from lattermath.planning.taken_together import Left, Takes, costs_together, left_by
from lattermath.planning.treating import Spraying

FloatArray = NDArray[np.float64]
Side = Literal["insects", "leaves"]
One = tuple[Side, int]  # a cluster or a disease, by its place


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """The courses of all clusters and of all diseases, each in its own order."""

    insects: tuple[Searched, ...]
    leaves: tuple[LeafSearched, ...]
    _takes: dict[One, Takes] = field(default_factory=dict)
    _few: dict[One, Takes] = field(default_factory=dict)

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

    def left_beside(self, *but: One, few: bool = False) -> Left:
        """What all but these leave of each planting, as all stands; few: in the draws that are
        searched."""
        return left_by(self._taking(one, few=few) for one in self._all if one not in but)

    def insect_as_it_stands(self, n: int) -> Searched:
        """One course against insects beside all that is done, and of what all others leave."""
        work = (*self.beside_insect(n), *self.leaf_work(-1))
        return beside(self.insects[n], work, self.left_beside(("insects", n)))

    def leaf_as_it_stands(self, n: int) -> LeafSearched:
        """One course against a disease likewise."""
        work = (*self.beside_insect(-1), *self.leaf_work(n))
        return leaf_beside(self.leaves[n], work, self.left_beside(("leaves", n)))

    def leaf_cost(self, n: int) -> float:
        """Damage and work of one disease as all stands, of what the others leave. [portions]"""
        return self._cost([("leaves", n)])

    def cost(self) -> float:
        """Damage and work of all together, and the pickings that all of it bars. [portions]"""
        return self._cost(self._all) + self.barred(self.work)

    @property
    def _all(self) -> list[One]:
        insects: list[One] = [("insects", n) for n in range(len(self.insects))]
        return [*insects, *(("leaves", n) for n in range(len(self.leaves)))]

    def _cost(self, some: Sequence[One]) -> float:
        """Damage and work of some together, of what all others leave. [portions]"""
        takes = [self._taking(one, few=False) for one in some]
        return float(costs_together(takes, self.left_beside(*some)).mean())

    def _taking(self, one: One, *, few: bool) -> Takes:
        """What one takes as all stands, by itself."""
        held, (side, n) = self._few if few else self._takes, one
        if one not in held and side == "insects":
            work = (*self.beside_insect(n), *self.leaf_work(-1))
            held[one] = takes_of(self.insects[n], work, few=few)
        elif one not in held:
            whole = self._takes.get(one)
            if whole is None:
                work = (*self.beside_insect(-1), *self.leaf_work(n))
                whole = self._takes[one] = leaf_takes(self.leaves[n], work)
            held[one] = whole.some(drawn(len(whole.left))) if few else whole
        return held[one]

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
        some: list[One] = [
            ("insects", n)
            for n, one in enumerate(self.insects)
            if one is not other.insects[n] or _feels(one.cluster, differs)
        ]
        leaves: list[One] = [
            ("leaves", n)
            for n, one in enumerate(self.leaves)
            if one is not other.leaves[n] or _leaf_feels(one.case, differs)
        ]
        changed, more = [*some, *leaves], self.barred(theirs) - self.barred(mine)
        if some:
            few = self._less_than(other, changed, few=True) + more
            if not hopeful(few) or surely_above(few, enough):
                return float(few.mean())
        return float(self._less_than(other, changed, few=False).mean()) + more

    def _less_than(self, other: Joint, changed: Sequence[One], *, few: bool) -> FloatArray:
        """By how much less this costs in each draw; all but these are the same in both."""
        for mine, theirs in ((self._takes, other._takes), (self._few, other._few)):
            same = {one: held for one, held in (mine | theirs).items() if one not in changed}
            mine |= same
            theirs |= same
        rest = self.left_beside(*changed, few=few)
        now, then = (
            costs_together([joint._taking(one, few=few) for one in changed], rest)
            for joint in (self, other)
        )
        return then - now


def _feels(cluster: Cluster, work: Sequence[Spraying]) -> bool:
    """Does any of this work take of a cluster?"""
    keys = {stand.key for stand in cluster.belief.stands}
    return bool(cluster.effects([one.method for one in work if one.planting.key in keys]))


def _leaf_feels(case: LeafCase, work: Sequence[Spraying]) -> bool:
    keys = {stand.key for stand in case.belief.stands}
    return any(one.method in case.known and one.planting.key in keys for one in work)
