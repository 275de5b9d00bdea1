"""When belief and sighting disagree: what may explain it, and which look would tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.explanations import (
    Explained,
    Situation,
    chances_to_see,
    explained,
    foretold,
)
from lattermath.belief.natural_enemies import METHOD as ENEMIES
from lattermath.belief.sighting_check import Check, bounds_of, checked, worth_checking
from lattermath.belief.treatment_kills import Application
from lattermath.desk.enemies_seen import all_applied
from lattermath.desk.entries_at_odds import lone_counts
from lattermath.desk.insect_belief import believe_insects, believe_unseen, with_more
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.sighting_told import (
    NEVER_CAME,
    NEW_DAYS,
    at_odds_says,
    look_says,
    may_be,
    never_came_says,
    ranked_says,
)
from lattermath.planning.telling_look import telling_look
from lattermath.vocabulary.at_odds import Disagreement
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Population
from lattermath.vocabulary.ruling import Because

BelievedAt: TypeAlias = Callable[[date], ClusterBelief | None]

UNSEEN_DAYS = 7  # judgement: a first find is held against what was to be expected a week before it
MORE_LIKELY_THAN_NOT = 0.5
NOT_THERE = ("slip", "miscounted", "another pest")  # by these it is not what was written down
LONGER_DAYS = 28  # judgement: about a generation for which they may have lived there unseen


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """One sighting of the organism, as logged and as evidence.

    day : the day of which it is evidence; of a card that hung some days the middle one.
    """

    day: date
    read_on: date
    sighting: Sighting
    seen: Seen


def odds_of(facts: SeasonFacts, belief: ClusterBelief) -> tuple[Odd, ...]:
    """Each planting's new sighting that disagrees with the belief before it.

    Of a planting's the one that disagrees most, explained; the plantings the worst first.
    Each planting's newest looks are held against the belief as of the evening before on which
    anything was looked at; those of the first evening against what was to be expected beforehand.
    """
    history = _History(facts, tuple(_looks(facts, belief)), _believed_at(facts, belief.organism))
    new = _new(history, belief)
    found = [odd for one in new if (odd := _odd(history, belief, one))]
    found.sort(key=lambda odd: (odd.check.tail, odd.look.seen.serial))
    of_each = {odd.look.seen.place: odd for odd in reversed(found)}  # the worst of each is the last
    return tuple(odd for odd in found if odd is of_each[odd.look.seen.place])


def doubted(belief: ClusterBelief, odds: Iterable[Odd]) -> frozenset[str]:
    """Plantings on which more was found than can well be, and more likely than not was not.

    Nothing that cannot be undone rests on such a look before another has borne it out.
    """
    return frozenset(
        belief.stands[odd.look.seen.place].key
        for odd in odds
        if odd.check.more
        and sum(one.share for one in odd.ranked if one.key in NOT_THERE) >= MORE_LIKELY_THAN_NOT
    )


def with_odds(
    facts: SeasonFacts, belief: ClusterBelief, population: Population, ranked: Sequence[Odd]
) -> Population:
    """A population with the sightings that disagree with it, as of `odds_of`."""
    if not ranked:
        return population
    (worst, first), *more = (_told(facts, belief, odd) for odd in ranked)
    return replace(
        population,
        disagrees=worst.says,
        may_be=worst.may_be,
        to_tell=worst.to_tell,
        more_at_odds=tuple(other for other, _ in more),
        look_at=tuple(dict.fromkeys((first, *(key for _, key in more)))),
        because=(*population.because, *_reasons(belief, ranked)),
    )


def _told(facts: SeasonFacts, belief: ClusterBelief, odd: Odd) -> tuple[Disagreement, str]:
    """One sighting that disagrees, in words, and the planting whose look would tell."""
    figures, there = belief.life.figures, odd.look.seen.place
    look = telling_look(figures, belief.stands, odd.ranked, facts.today_index, odd.look.seen)
    at = belief.stands[there if look is None else look.place]
    units = _units(belief, odd.look)[0]
    tells = look_says(look, at.name, figures.habits.counted_word, odd.ranked, units)
    in_all = odd.look.seen.level is not None
    if odd.ranked[0].key == NEVER_CAME and odd.ranked[0].share >= MORE_LIKELY_THAN_NOT:
        named = _what(belief, odd.look, f"{figures.habits.counted_word} ")
        says = never_came_says(named, odd.check, in_all=in_all)
        return Disagreement(says, (), ""), belief.stands[there].key
    says = at_odds_says(_what(belief, odd.look), odd.check, in_all=in_all)
    to_tell = " ".join((tells, *_lone(facts, odd.look.sighting))).strip()
    return Disagreement(says, may_be(odd.ranked, units), to_tell), at.key


def _lone(facts: SeasonFacts, odd: Sighting) -> Iterator[str]:
    """An earlier count of the same that stands alone, which may be what is wrong."""
    for lone, _ in lone_counts(facts.events):
        of = lone.payload
        if not isinstance(of, Sighting) or of is odd:
            continue
        if (of.planting, of.what) == (odd.planting, odd.what):
            yield (
                f"If the count of {short(lone.day)}, which stands alone, was the slip, take that "
                f"back: lattermath log withdraw {lone.serial}."
            )


def _reasons(belief: ClusterBelief, ranked: Sequence[Odd]) -> Iterator[Because]:
    """The reckoning behind each; with the planting where there are several."""
    for odd in ranked:
        name = f"{belief.stands[odd.look.seen.place].name}: " if len(ranked) > 1 else ""
        says = ranked_says(odd.ranked, _units(belief, odd.look)[0])
        yield Because(f"{name}{says}", rests_on=odd.rests_on)


def checks_of(facts: SeasonFacts, belief: ClusterBelief) -> Iterator[tuple[Check, bool]]:
    """Every planting's newest looks, each beside what was expected of it; none is passed over.

    With each, whether it was of the first evening on which anything was looked at.
    """
    history = _History(facts, tuple(_looks(facts, belief)), _believed_at(facts, belief.organism))
    for one in _newest(history):
        case = _situation(history, belief.organism, one)
        check = None if case is None else _checked(history, case, one)
        if check is not None:
            yield check, history.is_first(one)


@dataclass(frozen=True, slots=True, eq=False)
class _History:
    """Every look of an organism in order, and what was believed of it on the evening of a look."""

    facts: SeasonFacts
    looks: tuple[_Look, ...]
    then: BelievedAt

    def before(self, one: _Look, *, here: bool) -> date | None:
        """The day of the look before: on any planting, or on this one where there is one."""
        earlier = [other for other in self.looks if other.day < one.day]
        same = [other for other in earlier if here and other.seen.place == one.seen.place]
        return max((other.day for other in same or earlier), default=None)

    def is_first(self, one: _Look) -> bool:
        """Whether nothing had been looked at before."""
        return self.before(one, here=False) is None

    def never_found(self, one: _Look) -> bool:
        """Whether it was looked for at this planting and never found there, then and before."""
        here = [w for w in self.looks if w.seen.place == one.seen.place and w.day <= one.day]
        return all(w.seen.found_none for w in here)


@dataclass(frozen=True, slots=True, eq=False)
class Odd:
    """A sighting that disagrees, with what may explain it."""

    look: _Look
    check: Check
    ranked: list[Explained]
    rests_on: tuple[str, ...]


def _believed_at(facts: SeasonFacts, organism: str) -> BelievedAt:
    """The belief as of the evening of a look; many plantings were looked at on the same."""
    return cache(lambda day: believe_insects(_as_of(facts, day), organism))


def _odd(history: _History, belief: ClusterBelief, one: _Look) -> Odd | None:
    """The sighting, explained; None where it agrees."""
    organism = belief.organism
    case = _situation(history, organism, one)
    check = None if case is None else _checked(history, case, one)
    if case is None or check is None:
        return None
    if not check.at_odds:
        check = _learnt(one, _expected(belief, one))
        if check is None or not check.at_odds:
            return None
    if history.is_first(one):
        longer = _unseen(history, organism, one, LONGER_DAYS)
        if longer is not None:
            longer = with_more(longer, history.facts, _methods(case.done))
        whole = replace(case, longer=longer)
    else:
        whole = _situation(history, organism, one, here=True) or case
        before = whole.then.first_day + whole.then.today
        as_of = _as_of(history.facts, history.facts.first + timedelta(days=before))
        if not one.sighting.found_none:
            whole = replace(whole, stranger=believe_insects(as_of, organism, learns=False))
    whole = replace(whole, never=history.never_found(one))
    ranked = explained(whole, history.facts.dice)
    return Odd(one, check, ranked, tuple(f"event:{seen.serial}" for seen in whole.looks))


def _learnt(one: _Look, expected: NDArray[np.float64]) -> Check | None:
    """The sighting beside the belief that knows it: nothing else that was seen may bear it out.

    expected : as of `_expected`.
    """
    return checked(one.seen, expected, np.full(len(expected), 1 / len(expected)))


def _expected(belief: ClusterBelief, one: _Look) -> NDArray[np.float64]:
    """Insects that would have been seen by draws that know of it, (n_draws,)."""
    there = belief.past[:, one.seen.place, one.seen.day - belief.first_day].astype(float)
    return one.seen.expected(there, belief.unknowns.detection)


def _checked(history: _History, case: Situation, one: _Look) -> Check | None:
    """The sighting beside what was expected of it."""
    elsewhere = []
    if bounds_of(case.odd) is None:
        elsewhere = chances_to_see(case, list(_same_look_elsewhere(history, case, one)))
    first = history.is_first(one)
    return checked(case.odd, *foretold(case), first=first, elsewhere=elsewhere)


def _same_look_elsewhere(history: _History, case: Situation, one: _Look) -> Iterator[Seen]:
    """The same look at each other planting of the cluster."""
    then, life = case.then, case.then.life.figures
    for place, stand in enumerate(then.stands):
        if place != case.odd.place:
            alike = replace(one.sighting, planting=stand.key)
            day = history.facts.day_index(one.read_on)
            read = read_sighting(alike, day, one.seen.serial, then.stands, life)
            if read is not None:
                yield read


def _looks(facts: SeasonFacts, belief: ClusterBelief) -> Iterator[_Look]:
    """Every sighting of the organism on the cluster, in order."""
    life = belief.life.figures
    for event in sorted(facts.events, key=lambda e: (e.day, e.serial)):
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what == belief.organism:
            day = facts.day_index(event.day)
            read = read_sighting(seen, day, event.serial, belief.stands, life)
            if read is not None:
                yield _Look(facts.first + timedelta(days=read.day), event.day, seen, read)


def _newest(history: _History) -> Iterator[_Look]:
    """The newest looks of each planting, of late."""
    newest: dict[int, date] = {one.seen.place: one.day for one in history.looks}
    for one in history.looks:
        late = (history.facts.today - one.day).days <= NEW_DAYS
        if newest[one.seen.place] == one.day and late:
            yield one


def _new(history: _History, belief: ClusterBelief) -> Iterator[_Look]:
    """Those of them that may disagree."""
    for one in _newest(history):
        expected = _expected(belief, one)
        learnt = _learnt(one, expected)
        first = history.is_first(one)
        if worth_checking(one.seen, expected, first=first) or (learnt and learnt.at_odds):
            yield one


def _unseen(history: _History, organism: str, one: _Look, longer: int = 0) -> ClusterBelief | None:
    """What was to be expected some days before a look of the first evening of all."""
    before = max(one.day - timedelta(days=UNSEEN_DAYS), history.facts.first)
    if before >= one.day:
        return None
    looked = history.facts.day_index(one.day)
    return believe_unseen(_as_of(history.facts, before), organism, looked, longer)


def _situation(
    history: _History, organism: str, one: _Look, *, here: bool = False
) -> Situation | None:
    """The belief as of the look before, what was done from that evening on, and seen since.

    here : the look before at this planting, where there is one.
    """
    before = history.before(one, here=here)
    then = _unseen(history, organism, one) if before is None else history.then(before)
    if then is None:
        return None
    facts, keys = history.facts, [stand.key for stand in then.stands]
    first, day = then.first_day, then.first_day + then.today
    done = tuple(
        replace(a, day=a.day - first)
        for a in all_applied(facts, then.life, organism, keys)
        if a.day > day or (a.day == day and a.effect.method != ENEMIES)
    )
    then = with_more(then, facts, _methods(done))  # new since that look
    since = [w for w in history.looks if day < w.seen.day <= one.seen.day and w is not one]
    return Situation(
        then,
        None,
        done,
        tuple(replace(w.seen, day=w.seen.day - first) for w in (*since, one)),
        facts.today_index - first,
    )


def _methods(done: Iterable[Application]) -> list[str]:
    return sorted({one.effect.method for one in done})


def _as_of(facts: SeasonFacts, day: date) -> SeasonFacts:
    """The facts as of an evening: nothing later, nor what was done that evening."""
    events = tuple(
        event
        for event in facts.events
        if event.day < day or (event.day == day and not isinstance(event.payload, Treatment))
    )
    return replace(facts, now=facts.now - timedelta(days=(facts.today - day).days), events=events)


def _what(belief: ClusterBelief, one: _Look, of: str = "") -> str:
    """The sighting in words; of: what was counted on leaves or plants, where that is named."""
    name, seen = belief.stands[one.seen.place].name, one.seen
    unit = _units(belief, one)
    if seen.total is None and seen.level:
        return f"{name}: {seen.level} on {counted(seen.leaves, *unit)} on {short(one.read_on)}"
    if seen.total is None:
        return f"{name}: seen on {short(one.read_on)}"
    if seen.measure == "some":
        of = f"{seen.total:g} of {counted(seen.leaves, *unit)}"
        return f"{name}: some on {of} on {short(one.read_on)}"
    verb = {"shake": "rose from", "card": "caught on"}.get(seen.measure, f"{of}counted on")
    many = len(one.sighting.counts) if seen.measure == "card" else seen.leaves
    return f"{name}: {seen.total:g} {verb} {counted(many, *unit)} on {short(one.read_on)}"


def _units(belief: ClusterBelief, one: _Look) -> tuple[str, str]:
    """What was looked at, many and one of it."""
    if one.sighting.surface == "flowers":
        return "flowers", "flower"
    units = {"shake": ("plants", "plant"), "card": ("cards", "card")}
    whole = belief.life.figures.habits.counted_by_plant
    return units.get(one.seen.measure, units["shake"] if whole else ("leaves", "leaf"))
