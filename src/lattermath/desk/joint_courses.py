"""Courses against several organisms together: each is searched again beside those of the others.

Coordinate exchange: first one after the other, by what each would cost; then those that stand to
gain most are searched again, given the others' treatments and what their own save of the others.
A change is kept only where the sum of all damage and work falls. Searches again are counted, and
few, so that a plan is not kept waiting; clusters that share nothing are never searched twice.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from lattermath.desk.insect_cluster import Cluster, Others, Searched
from lattermath.desk.insect_course import (
    beside,
    cost_of_nothing,
    from_words,
    restarted,
    search,
    takes_of,
    told_in_words,
)
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.kept_courses import bits_of, bytes_of
from lattermath.desk.kept_work import digest_of, remembered
from lattermath.planning import near_courses
from lattermath.planning.course_task import Step
from lattermath.planning.shared_treatments import (
    LEAST_GAIN,
    Prices,
    Saved,
    additions,
    bonus_for,
    hopeful,
    promise,
)
from lattermath.planning.steps_allowed import allowed
from lattermath.planning.taken_together import Left, Takes, costs_together, left_by

AGAIN = 1  # judgement: searches again in one plan; a second found nothing in the cases of the tests
TRIALS = 40  # judgement: steps taken away or moved on trial in one exchange
MORE = 3  # judgement: steps that are put to a course on trial, on all draws
SETTLING = 3  # judgement: rounds of such trials
CLEARLY_LESS = 0.9  # judgement: share left of a crop from which a course against it is found anew
SHORT = 3  # judgement: steps up to which each is moved on trial too; more would cost seconds


def search_together(
    clusters: Sequence[Cluster],
    given: Others = (),
    again: int = AGAIN,
    start: Sequence[Searched] = (),
) -> list[Searched]:
    """The courses of all clusters, in their order, searched once and then kept.

    given : treatments already planned, against leaf diseases, which count for all.
    again : how many searches again may be spent; with none, each stays as it was found in turn.
    start : what was found for the same clusters where more could be treated: it is only settled
            anew.

    What was found is kept and its runs are not: `insect_course.whole` makes them where a course is
    told.
    """
    asked = [(bits_of(cluster.task), cluster.rulings.made_from) for cluster in clusters]
    held = remembered(
        "together",
        digest_of(asked, given, again, [*map(told_in_words, start)]),
        lambda: {"found": bytes_of([*map(told_in_words, _search(clusters, given, again, start))])},
    )
    words = json.loads(held["found"].tobytes())
    found = [from_words(cluster, one) for cluster, one in zip(clusters, words, strict=True)]
    together = _Together(found, given)
    return [together.beside_the_rest(n) for n in range(len(found))]


def _search(
    clusters: Sequence[Cluster], given: Others, again: int, start: Sequence[Searched]
) -> list[Searched]:
    if start:
        together = _Together([*map(restarted, clusters, start)], given)
        together.settle()
        return together.found
    order = sorted(range(len(clusters)), key=lambda n: (-cost_of_nothing(clusters[n]), n))
    together = _Together(_one_after_the_other(clusters, order, given), given)
    for n in order[:-1]:
        together.beside_those_after(n)
    open_ = set(order)  # not searched since somebody else changed
    for _ in range(again):
        tried = together.most_promising([n for n in order if n in open_])
        if tried is None:
            break
        n, bonus = tried
        if together.exchanged(n, bonus):
            open_ = set(order)
        open_.discard(n)
    if again:
        together.settle()
    return together.found


def total_cost(found: Sequence[Searched], given: Others = ()) -> float:
    """Damage and work of all clusters together, what is done against the others counted for each,
    and the pickings that all their treatments bar. [portions]"""
    takes = [takes_of(one, _others(n, found, given)) for n, one in enumerate(found)]
    return float(costs_together(takes).mean()) + _barred(found, (*given, *_work_of(found)))


def _barred(found: Sequence[Searched], work: Others) -> float:
    """What the pickings that all of this work bars cost, each once. [portions]"""
    bars = found[0].rulings.bars if found else None
    return 0.0 if bars is None else bars.lost(work)


def _one_after_the_other(
    clusters: Sequence[Cluster], order: Sequence[int], given: Others
) -> list[Searched]:
    """Each beside what is planned so far, and of what those before it leave."""
    found: dict[int, Searched] = {}
    for n in order:
        before = _Together([*found.values()], given)
        found[n] = search(clusters[n], (*given, *_work_of(found.values())), left=before.left_by_all)
    return [found[n] for n in range(len(clusters))]


@dataclass(slots=True)
class _Together:
    """All courses as they stand, and what was reckoned of them.

    works : what each course does, which is asked for again and again.
    takes : what each takes as they stand, on all draws.
    few   : the same in the draws that are searched.
    """

    found: list[Searched]
    given: Others
    prices: dict[int, Prices] = field(default_factory=dict)
    takes: dict[int, Takes] = field(default_factory=dict)
    few: dict[int, Takes] = field(default_factory=dict)
    works: dict[Searched, Others] = field(default_factory=dict)

    @property
    def left_by_all(self) -> Left:
        """What all of them leave of each planting, as they stand."""
        return self._left(frozenset())

    def beside_those_after(self, n: int) -> None:
        """Search a course again where those found after it leave clearly less of what it treats.

        It was found as if they took nothing; of a crop that they take anyway it saves little.
        """
        me = self.found[n]
        treated = {place for step in me.found.steps for place in step.places} | {*me.mesh, *me.film}
        left = self._left(frozenset((n,)))
        whole, rest = (
            beside(me, me.others, one).task.stakes.bears().sum(2).mean(0) for one in ({}, left)
        )
        if any(rest[place] < CLEARLY_LESS * whole[place] for place in treated):
            self._taken(n, search(me.cluster, self._others(n), left=left))

    def most_promising(self, open_: Sequence[int]) -> tuple[int, Saved] | None:
        """The cluster that one treatment more or less would help most, and what its own save."""
        best: tuple[float, int, Saved] | None = None
        for n in open_:
            bonus = self._bonus(n)
            if bonus is None:
                continue
            gain = promise(self._priced(n), bonus)
            if gain > LEAST_GAIN and (best is None or gain > best[0]):
                best = (gain, n, bonus)
        return None if best is None else best[1:]

    def exchanged(self, n: int, bonus: Saved) -> bool:
        """Search one again beside the others; True where the change was worth while."""
        left = self._left(frozenset((n,)))
        tried = search(self.found[n].cluster, self._others(n), bonus, left)
        return self._taken(n, self._fewer(n, tried))

    def settle(self) -> None:
        """Try single treatments less and more, on all draws, where a course meets another.

        The search looks at few draws, and at close calls they can err by a treatment.
        """
        for n in range(len(self.found)):
            bonus = self._bonus(n)
            if bonus is None:
                continue
            more = additions(self._priced(n), bonus)[:MORE]
            for _ in range(SETTLING):
                mine = self.beside_the_rest(n)
                moved = _moved(mine) if len(mine.found.steps) <= SHORT else ()
                ways = (*_shorter(mine), *_longer(mine, more), *moved)
                if not any(self._taken(n, way) for way in ways):
                    break

    def beside_the_rest(self, n: int) -> Searched:
        """A course as it will go: beside what is done against the others in the end, and of what
        they leave."""
        return beside(self.found[n], self._others(n), self._left(frozenset((n,))))

    def _bonus(self, n: int) -> Saved | None:
        """What treatments against one save of those it meets; None where it meets nobody."""
        me = self.found[n]
        meets = [m for m in range(len(self.found)) if m != n and _meet(me, self.found[m])]
        if not meets:
            return None
        methods = [candidate.method for candidate in me.task.candidates]
        effects = [self.found[m].cluster.effects(methods) for m in meets]
        priced = [self._priced(m) for m in meets]
        return bonus_for(me.task, list(zip(priced, effects, strict=True)))

    def _taken(self, n: int, tried: Searched) -> bool:
        """Put a course in place of another where the sum of all falls; True where it did."""
        mine, new = self._works(self.found[n]), self._works(tried)
        if mine == new or _twice(new, self._others(n)):
            return False
        feels = [n, *self._feel(n, mine, new)]
        few = self._hopeful(n, tried, feels)
        if few is None:
            return False
        changed = self._with(n, tried)
        after = {m: takes_of(changed[m], self._others(m, changed)) for m in feels}
        now = [self._takes_as_it_stands(m) for m in feels]
        rest = self._left(frozenset(feels))
        saved = float((costs_together(now, rest) - costs_together([*after.values()], rest)).mean())
        if saved - self._bars_more(changed) < LEAST_GAIN:
            return False
        self.found = changed
        self.takes |= after
        self.few |= few
        self.prices.clear()  # each is priced of what the others leave
        return True

    def _hopeful(self, n: int, tried: Searched, feels: Sequence[int]) -> dict[int, Takes] | None:
        """What all that feel it take in the draws that are searched; None where even these draws
        make it unlikely that the change gains anything in the mean of all."""
        changed = self._with(n, tried)
        after = self._few_of(changed, feels)
        rest = self._left(frozenset(feels), few=True)
        now = [self._few_as_it_stands(m) for m in feels]
        gain = costs_together(now, rest) - costs_together([*after.values()], rest)
        return after if hopeful(gain - self._bars_more(changed)) else None

    def _few_of(self, changed: Sequence[Searched], some: Sequence[int]) -> dict[int, Takes]:
        return {m: takes_of(changed[m], self._others(m, changed), few=True) for m in some}

    def _few_as_it_stands(self, n: int) -> Takes:
        if n not in self.few:
            self.few |= self._few_of(self.found, [n])
        return self.few[n]

    def _takes_as_it_stands(self, n: int) -> Takes:
        if n not in self.takes:
            self.takes[n] = takes_of(self.found[n], self._others(n))
        return self.takes[n]

    def _left(self, but: frozenset[int], *, few: bool = False) -> Left:
        """What all but these leave of each planting, as they stand."""
        held = self._few_as_it_stands if few else self._takes_as_it_stands
        return left_by(held(m) for m in range(len(self.found)) if m not in but)

    def _fewer(self, n: int, tried: Searched) -> Searched:
        """The same course without the steps that are not worth their work to all together.

        What a step saves of others was added up step by step, as if each found them all alive; so
        the search asks for too many: each is taken away on trial, and the rest moved by a visit.
        """
        feels = [n, *self._feel(n, self._works(tried))]
        rest = self._left(frozenset(feels), few=True)
        known: dict[tuple[Step, ...], float] = {}  # a step moved and moved back is met again

        def cost(one: Searched) -> float:
            steps = one.found.steps
            if steps not in known:
                changed = self._with(n, one)
                takes = self._few_of(changed, feels).values()
                known[steps] = float(costs_together([*takes], rest).mean())
                known[steps] += self._bars_more(changed)
            return known[steps]

        best, trials = cost(tried), 0
        while tried.found.steps and trials < TRIALS:
            ways = [*_shorter(tried), *(_moved(tried) if trials else ())]
            trials += len(ways)
            costs = [cost(one) for one in ways]
            least = min(range(len(costs)), key=costs.__getitem__)
            if costs[least] >= best:
                break
            best, tried = costs[least], ways[least]
        return tried

    def _bars_more(self, changed: Sequence[Searched]) -> float:
        """What the pickings cost that these courses bar beyond those as they stand. [portions]"""
        if self.found[0].rulings.bars is None:
            return 0.0
        now, then = ([*self.given, *(w for one in some for w in self._works(one))]
                     for some in (self.found, changed))  # fmt: skip
        return _barred(changed, tuple(then)) - _barred(changed, tuple(now))

    def _with(self, n: int, tried: Searched) -> list[Searched]:
        return [*self.found[:n], tried, *self.found[n + 1 :]]

    def _feel(self, n: int, *works: Others) -> list[int]:
        """The other clusters of which this work takes."""
        return [m for m in range(len(self.found)) if m != n and self._feels(m, *works)]

    def _works(self, one: Searched) -> Others:
        if one not in self.works:
            self.works[one] = own_work(one)
        return self.works[one]

    def _others(self, n: int, found: Sequence[Searched] | None = None) -> Others:
        """What is done against all but one."""
        all_ = self.found if found is None else found
        works = (self._works(one) for m, one in enumerate(all_) if m != n)
        return (*self.given, *(work for done in works for work in done))

    def _feels(self, m: int, *works: Others) -> bool:
        """Does a cluster live where this work is done, and does the work take of it?"""
        cluster = self.found[m].cluster
        keys = {stand.key for stand in cluster.belief.stands}
        methods = {one.method for work in works for _, one in work if one.planting.key in keys}
        return bool(cluster.effects(sorted(methods)))

    def _priced(self, n: int) -> Prices:
        if n not in self.prices:
            one = self.beside_the_rest(n)
            self.prices[n] = Prices.of(one.task, one.found.steps)
        return self.prices[n]


def _twice(work: Others, others: Others) -> bool:
    """Would a planting be treated with one thing twice in an evening? It works once."""
    done = {(day, one.method, one.planting.key) for day, one in others}
    return any((day, one.method, one.planting.key) in done for day, one in work)


def _shorter(one: Searched) -> list[Searched]:
    """The course with one step less."""
    steps = one.found.steps
    return [_with(one, near_courses.without(steps, k)) for k in range(len(steps))]


def _longer(one: Searched, more: Sequence[Step]) -> Iterator[Searched]:
    """The course with one of these steps more, where the rulings allow all of it."""
    has = {(s.candidate.key, s.visit, place) for s in one.found.steps for place in s.places}
    for step in more:
        if (step.candidate.key, step.visit, step.places[0]) in has:
            continue
        steps = near_courses.in_order((*one.found.steps, step))
        if allowed(one.task, steps):
            yield _with(one, steps)


def _moved(one: Searched) -> Iterator[Searched]:
    """The course with one step a visit earlier or later, where the rulings allow all of it."""
    steps, n_visits = one.found.steps, len(one.task.visits)
    for k in range(len(steps)):
        for other in near_courses.moved(steps, k, n_visits):
            if allowed(one.task, other):
                yield _with(one, other)


def _with(one: Searched, steps: tuple[Step, ...]) -> Searched:
    return replace(one, found=replace(one.found, steps=steps))


def _meet(one: Searched, other: Searched) -> bool:
    """Do they share own plantings, and is there a means against the one that takes of the other?"""
    mine, theirs = ({s.key for s in x.cluster.belief.stands if s.treatable} for x in (one, other))
    methods = [candidate.method for candidate in one.task.candidates]
    return not mine.isdisjoint(theirs) and bool(other.cluster.effects(methods))


def _others(n: int, found: Sequence[Searched], given: Others) -> Others:
    return (*given, *_work_of(one for m, one in enumerate(found) if m != n))


def _work_of(found: Iterable[Searched]) -> Others:
    return tuple(work for one in found for work in own_work(one))
