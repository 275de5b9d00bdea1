"""When belief and sighting disagree: what may explain it, and which look would tell."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from typing import TypeAlias

from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.explanations import Explained, Situation, explained, foretold
from lattermath.belief.natural_enemies import METHOD as ENEMIES
from lattermath.belief.sighting_check import Check, checked, worth_checking
from lattermath.desk.enemies_seen import all_applied
from lattermath.desk.insect_belief import believe_insects, with_more
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.sighting_told import (
    NEW_DAYS,
    at_odds_says,
    look_says,
    may_be,
    ranked_says,
)
from lattermath.planning.telling_look import telling_look
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Population
from lattermath.vocabulary.ruling import Because

BelievedAt: TypeAlias = Callable[[date], ClusterBelief | None]


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """One sighting of the organism, as logged and as evidence.

    day : the day of which it is evidence; of a card that hung some days the middle one.
    """

    day: date
    read_on: date
    sighting: Sighting
    seen: Seen


def with_odds(facts: SeasonFacts, belief: ClusterBelief, population: Population) -> Population:
    """A population with the new sighting that disagrees most with the belief before it, explained.

    Each planting's newest looks are held against the belief as of the look before.
    """
    looks, then = list(_looks(facts, belief)), _believed_at(facts, belief.organism)
    new = _new(facts, belief, looks)
    found = [odd for one in new if (odd := _odd(facts, belief, one, looks, then))]
    if not found:
        return population
    worst = min(found, key=lambda odd: (odd.check.tail, odd.look.seen.serial))
    figures = belief.life.figures
    look = telling_look(figures, belief.stands, worst.ranked, facts.today_index)
    name = belief.stands[look.place].name if look else ""
    reason = Because(ranked_says(worst.ranked), rests_on=worst.rests_on)
    return replace(
        population,
        disagrees=at_odds_says(_what(belief, worst.look), worst.check),
        may_be=may_be(worst.ranked),
        to_tell=look_says(look, name, figures.habits.counted_word, worst.ranked),
        because=(*population.because, reason),
    )


def checks_of(facts: SeasonFacts, belief: ClusterBelief) -> Iterator[Check]:
    """Every planting's newest counts, each beside what was expected of it; none is passed over."""
    looks, then = list(_looks(facts, belief)), _believed_at(facts, belief.organism)
    for one in _newest(facts, looks):
        before = _look_before(one, looks)
        case = None if before is None else _situation(facts, then(before), one, before, looks)
        check = None if case is None else checked(case.odd, *foretold(case))
        if check is not None:
            yield check


@dataclass(frozen=True, slots=True, eq=False)
class _Odd:
    """A sighting that disagrees, with what may explain it."""

    look: _Look
    check: Check
    ranked: list[Explained]
    rests_on: tuple[str, ...]


def _believed_at(facts: SeasonFacts, organism: str) -> BelievedAt:
    """The belief as of the evening of a look; many plantings were looked at on the same."""
    return cache(lambda day: believe_insects(_as_of(facts, day), organism))


def _odd(
    facts: SeasonFacts, belief: ClusterBelief, one: _Look, looks: list[_Look], then: BelievedAt
) -> _Odd | None:
    """The sighting, explained; None where it agrees or nothing was seen before."""
    before = _look_before(one, looks)
    case = None if before is None else _situation(facts, then(before), one, before, looks)
    if case is None:
        return None
    check = checked(case.odd, *foretold(case))
    if check is None or not check.at_odds or before is None:
        return None
    stranger = believe_insects(_as_of(facts, before), belief.organism, learns=False)
    ranked = explained(replace(case, stranger=stranger), facts.dice)
    return _Odd(one, check, ranked, tuple(f"event:{seen.serial}" for seen in case.looks))


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


def _newest(facts: SeasonFacts, looks: list[_Look]) -> Iterator[_Look]:
    """The newest looks of each planting, of late."""
    newest: dict[int, date] = {one.seen.place: one.day for one in looks}
    for one in looks:
        if newest[one.seen.place] == one.day and (facts.today - one.day).days <= NEW_DAYS:
            yield one


def _new(facts: SeasonFacts, belief: ClusterBelief, looks: list[_Look]) -> Iterator[_Look]:
    """Those of them that may disagree."""
    for one in _newest(facts, looks):
        there = belief.past[:, one.seen.place, one.seen.day - belief.first_day].astype(float)
        if worth_checking(one.seen, one.seen.expected(there, belief.unknowns.detection)):
            yield one


def _look_before(one: _Look, looks: list[_Look]) -> date | None:
    """The day of the look before: on this planting, or else on any."""
    earlier = [other for other in looks if other.day < one.day]
    here = [other for other in earlier if other.seen.place == one.seen.place]
    return max((other.day for other in here or earlier), default=None)


def _situation(
    facts: SeasonFacts, then: ClusterBelief | None, one: _Look, before: date, looks: list[_Look]
) -> Situation | None:
    """The belief as of the look before, what was done from that evening on, and seen since."""
    if then is None:
        return None
    keys = [stand.key for stand in then.stands]
    first, day = then.first_day, facts.day_index(before)
    done = tuple(
        replace(a, day=a.day - first)
        for a in all_applied(facts, then.life, then.organism, keys)
        if a.day > day or (a.day == day and a.effect.method != ENEMIES)
    )
    then = with_more(then, facts, sorted({a.effect.method for a in done}))  # new since that look
    since = [w for w in looks if before < w.day <= one.day and w is not one]
    seen = (*(w.seen for w in since), one.seen)
    return Situation(
        then,
        None,
        done,
        tuple(replace(s, day=s.day - first) for s in seen),
        facts.today_index - first,
    )


def _as_of(facts: SeasonFacts, day: date) -> SeasonFacts:
    """The facts as of an evening: nothing later, nor what was done that evening."""
    events = tuple(
        event
        for event in facts.events
        if event.day < day or (event.day == day and not isinstance(event.payload, Treatment))
    )
    return replace(facts, now=facts.now - timedelta(days=(facts.today - day).days), events=events)


def _what(belief: ClusterBelief, one: _Look) -> str:
    """The sighting in words."""
    name, seen = belief.stands[one.seen.place].name, one.seen
    unit = {"shake": "plants", "card": "cards"}.get(seen.measure, "leaves")
    if seen.total is None:
        return f"{name}: {seen.level} seen on {short(one.read_on)}"
    verb = {"shake": "rose from", "card": "caught on"}.get(seen.measure, "counted on")
    many = len(one.sighting.counts) if seen.measure == "card" else seen.leaves
    return f"{name}: {seen.total:g} {verb} {many:g} {unit} on {short(one.read_on)}"
