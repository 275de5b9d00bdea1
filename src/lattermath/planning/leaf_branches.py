"""The cheapest course against a leaf disease on one planting: branch and bound by its treatments.

A branch is a course so far, in the order of the days. What may come after it saves at most what
each treatment would save alone (`science.leaf_least`), and all together at most what all allowed
would; so the cheapest way on costs at least what the best few of them by these savings would. The
branch that may be cheapest is opened first; openings are counted, so that it is repeatable. What
is left open when they are spent says how low the best may be.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np
from numpy.typing import NDArray

from lattermath.planning.course_task import Candidate
from lattermath.science.leaf_least import Done, LeafDays, Least, More

FloatArray = NDArray[np.float64]
Branch = tuple[int, ...]

MOST_MORE = 8  # treatments more that are added up one by one; from there on all are counted as done
ROUNDS = 6  # judgement: single changes that are followed where branches are left open
NONE = 1e-9


@dataclass(frozen=True, slots=True)
class LeafChoice:
    """One treatment of one planting that may be chosen. cost : its work. [portions]"""

    visit: int
    candidate: Candidate
    cost: float


@dataclass(slots=True)
class OnePlanting:
    """A planting, what may be done on it, and what is asked of whoever knows.

    done    : what is done anyway.
    choices : in the order of the visits; more : what each does, alike.
    apart   : which pairs exclude each other whatever else is done, (n_choices, n_choices).
    allows  : is a branch allowed as it stands?
    barred  : what the pickings cost that a branch bars. [portions]
    """

    days: LeafDays
    done: Done
    choices: Sequence[LeafChoice]
    more: More
    apart: NDArray[np.bool_]
    allows: Callable[[Branch], bool]
    barred: Callable[[Branch], float]

    def work(self, branch: Branch) -> float:
        """Work, hazard and barred pickings of a branch. [portions]"""
        return sum(self.choices[n].cost for n in branch) + self.barred(branch)


@dataclass(slots=True)
class Cheapest:
    """The cheapest branch met, what it costs, and a cost that no allowed branch is below.

    opened : branches run.
    """

    branch: Branch
    cost: float
    least: float
    opened: int = 0


def cheapest(one: OnePlanting, known: Branch, openings: int, slack: float) -> Cheapest:
    """The cheapest allowed course on a planting, as far as the openings go.

    known : a course that is allowed, from which to begin.
    slack : from this on, what is left between course and bound does not matter. [portions]
    """
    best = Cheapest(known, _run(one, known).damage + one.work(known), 0.0, 1)
    order = count()
    heap: list[tuple[float, int, Branch]] = [(0.0, next(order), ())]
    while heap and best.opened < openings:
        low, _, branch = heapq.heappop(heap)
        if low >= best.cost - slack:
            heapq.heappush(heap, (low, next(order), branch))
            break
        if branch and not one.allows(branch):
            continue
        least, work = _run(one, branch), one.work(branch)
        best.opened += 1
        if least.damage + work < best.cost:
            best.branch, best.cost = branch, least.damage + work
        for choice, bound in _ways_on(one, branch, least, work):
            if bound < best.cost:
                heapq.heappush(heap, (max(bound, low), next(order), (*branch, choice)))
    low = min([best.cost, *(low for low, *_ in heap)])
    for begin in dict.fromkeys([best.branch, known]) if low < best.cost - slack else ():
        _improve(one, begin, best)
    best.least = min(best.cost, low)
    return best


def _improve(one: OnePlanting, begin: Branch, best: Cheapest) -> None:
    """Follow single changes from a branch while they make it cheaper, into the best."""
    branch, cost = begin, _run(one, begin).damage + one.work(begin)
    for _ in range(ROUNDS):
        near = [(_run(one, way).damage + one.work(way), way) for way in _near(one, branch)]
        cheaper = ((its, way) for its, way in sorted(near) if its < cost - NONE)
        found = next((found for found in cheaper if one.allows(found[1])), None)
        if found is None:
            break
        cost, branch = found
    if cost < best.cost:
        best.branch, best.cost = branch, cost


def _near(one: OnePlanting, branch: Branch) -> Iterator[Branch]:
    """The branch with one treatment less, one more, or one in another's place."""
    ways = [tuple(n for n in branch if n != gone) for gone in branch]
    yield from ways
    for kept in (branch, *ways):
        free = ~one.apart[list(kept)].any(0)
        for n in np.flatnonzero(free):
            if n not in branch:
                yield tuple(sorted((*kept, int(n))))


def _run(one: OnePlanting, branch: Branch) -> Least:
    """The days under a branch, its last treatment the first after which more may come."""
    first = int(one.more.days[branch[-1]]) if branch else 0
    chosen = one.more.some(np.array(branch, dtype=np.int64))
    return Least.of(one.days, one.done.joined(chosen), first)


def _ways_on(
    one: OnePlanting, branch: Branch, least: Least, work: float
) -> Iterator[tuple[int, float]]:
    """The choices that may come next, and what no course that goes on so costs less than."""
    later = np.arange(branch[-1] + 1 if branch else 0, len(one.choices))
    if branch:
        later = later[~one.apart[list(branch)][:, later].any(0)]
    if not later.size:
        return
    cost = np.array([one.choices[int(n)].cost for n in later])
    more = one.more.some(later)
    floor = least.with_all(more)
    if floor + cost.min() >= least.damage:
        return  # nothing that may come is worth even the cheapest of it
    none, *each = least.with_each(more)
    with_each = np.array(each)
    nets = none - with_each - cost
    best = _best_after(one, later, nets)
    uses = np.arange(MOST_MORE + 1) * cost.min()
    at_least = np.maximum(floor + uses, with_each[:, None] - best)
    lows = cost + np.minimum(at_least.min(1), floor + uses[-1] + cost.min())
    for n, low in zip(later, lows, strict=True):
        yield int(n), float(low) + work + one.barred((*branch, int(n))) - one.barred(branch)


def _best_after(one: OnePlanting, later: NDArray[np.int64], nets: FloatArray) -> FloatArray:
    """The most that so many treatments after each of these save by themselves, less their work.

    Gives (n_later, MOST_MORE + 1): uses of one thing keep their distance, things do not meet.
    """
    apart = one.apart[np.ix_(later, later)]
    after = np.triu(~apart, 1)
    total = np.full((len(later), MOST_MORE + 1), -np.inf)
    total[:, 0] = 0.0
    keys = np.array([one.choices[int(n)].candidate.key for n in later])
    for key in dict.fromkeys(keys):
        own = np.flatnonzero(keys == key)
        most = min(MOST_MORE, one.choices[int(later[own[0]])].candidate.most_uses)
        chain = np.full((len(own), MOST_MORE + 1), -np.inf)
        for k in range(len(own) - 1, -1, -1):
            chain[k, 1] = nets[own[k]]
            follow = chain[k + 1 :][after[own[k], own[k + 1 :]]]
            if len(follow):
                chain[k, 2 : most + 1] = nets[own[k]] + follow.max(0)[1:most]
        reach = np.where(after[:, own, None], chain[None], -np.inf).max(1)
        reach[:, 0] = 0.0
        joined = total.copy()
        for uses in range(1, MOST_MORE + 1):
            shifted = total[:, : MOST_MORE + 1 - uses] + reach[:, uses : uses + 1]
            joined[:, uses:] = np.maximum(joined[:, uses:], shifted)
        total = joined
    return total
