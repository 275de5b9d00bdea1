"""What one organism adds to a plan, and what it costs the plantings it lives on."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.soil_inputs import shares_of_bed
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.stage_words import named_stages
from lattermath.planning.fates import Care, Seen
from lattermath.planning.mixing import Stand, leaf_share, wetting_litres
from lattermath.planning.pest_beside import Treated
from lattermath.planning.still_there import NOTHING, Part, left_after
from lattermath.planning.treating import Spraying, joined
from lattermath.planning.watch import Watch
from lattermath.planning.worth import Weeks, food_value, want_for, with_store
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.events import Event, Payload, Sighting
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import OF_THE_MIX, Amount, Population
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

IfPulled = Callable[[Mapping[str, Care], Collection[str]], dict[str, Care]]
Again = Callable[[Collection[str]], "PestPlans"]

FRESH_DAYS = 3  # judgement: an older look is repeated before a treatment rests on it


@dataclass(frozen=True, slots=True)
class Found:
    """What looks for one thing have left to be known of a planting.

    there  : where it stands, by stage and side of the leaf; empty where it was missed last.
    caught : whether the last card caught some, and no look of all stages came after it.
    full   : the last day on which all stages were looked for on the plants themselves.
    some   : the last day on which a look at the plants found some.
    """

    there: frozenset[Part] = NOTHING
    caught: bool = False
    full: date | None = None
    some: date | None = None


@dataclass(frozen=True, slots=True)
class PestTold:
    """What is said of one organism: its population, its treatments by day, what to look at."""

    population: Population
    sprayings: tuple[tuple[date, Spraying], ...]
    watches: tuple[Watch, ...]


@dataclass(frozen=True, slots=True)
class PestPart:
    """One organism: its treatments by day, what it costs the plantings, and where it was seen.

    sick   : plantings that hands carry it on from: seen there, or caught on a card.
    shared : treatments planned against others that take of it as well.
    tell   : says it in words, which takes longer than all else; asked only once all is decided.
    """

    sprayings: tuple[tuple[date, Spraying], ...]
    cares: Mapping[str, Care]
    sick: frozenset[str]
    shared: tuple[tuple[date, Spraying], ...]
    tell: Callable[[], PestTold]


@dataclass(frozen=True, slots=True)
class PestPlans:
    """Courses with what they leave, and once they are told what each visit has to do about them.

    parts : what is to be told yet; then `populations`, `watches` and `warnings` are there.
    """

    parts: tuple[PestPart, ...] = ()
    populations: tuple[Population, ...] = ()
    sprayings: Mapping[date, tuple[Spraying, ...]] = field(default_factory=dict)
    watches: tuple[Watch, ...] = ()
    cares: Mapping[str, Care] = field(default_factory=dict)
    sick: frozenset[str] = frozenset()
    warnings: tuple[str, ...] = ()
    keep_dry: Mapping[str, Because] = field(default_factory=dict)  # why water goes to the foot
    homes: frozenset[str] = frozenset()  # plantings that insects followed can live on
    treated: frozenset[str] = frozenset()  # of these, where something is planned against one
    against: Treated = field(default_factory=Treated)  # what is done against insects, by day
    if_pulled: IfPulled | None = None  # cares with what taking plantings out would do
    again: Again | None = None  # the same with some coming out, begun from these courses
    # Share of a planting's yield that one organism takes, left alone, by organism and planting.
    takes: Mapping[tuple[str, str], float] = field(default_factory=dict)
    # Share of it that one organism leaves with the courses, mean of each coming day, likewise.
    kept: Mapping[tuple[str, str], NDArray[np.float64]] = field(default_factory=dict)


def portions_to_come(facts: SeasonFacts, belief: CropBelief) -> float:
    """Worth of what a planting still gives if nothing is lost, mean over the draws. [portions]"""
    kg = belief.kg[:, facts.today_index :]
    kg = kg * bearing_if_left(belief.condition, kg.shape[1])
    weeks = Weeks.of(facts.today, kg.shape[1])
    household = facts.plot.household
    want = with_store(want_for(belief.traits.crop, household), belief.traits, household)
    return float(food_value(weeks.sums(kg) / belief.traits.portion_kg, want, weeks).mean())


def bearing_portions(facts: SeasonFacts, belief: CropBelief | None) -> NDArray[np.float64]:
    """Worth of what each day from today gives if nothing is lost, (n_left,). [portions]"""
    worth = 0.0 if belief is None else portions_to_come(facts, belief)
    return worth * bearing_days(facts, belief)


def bearing_days(facts: SeasonFacts, belief: CropBelief | None) -> NDArray[np.float64]:
    """Share of a planting's yield to come on each day from today, (n_left,); sums to 1."""
    left = facts.t_min.shape[1] - facts.today_index
    daily = np.zeros(left) if belief is None else belief.kg[:, facts.today_index :].mean(0)
    total = float(daily.sum())
    return daily / total if total > 0 else np.full(left, 1 / max(left, 1))


def amounts_for(
    facts: SeasonFacts, label: ProductLabel | None, planting: Planting, surfaces: Sequence[str]
) -> tuple[Amount, ...]:
    """What of a mix would wet these plants, before it is measured; nothing without a label."""
    if label is None:
        return ()
    litres = wetting_litres(stand_of(facts, planting), surfaces)
    return (Amount(OF_THE_MIX, litres, "l", "judgement"),)


def stand_of(facts: SeasonFacts, planting: Planting) -> Stand:
    """The plants to be wetted: on the table's spacing, no more ground than their share of a bed,
    and as much of their leaf as their age has brought."""
    crop = facts.tables.crops[planting.crop]
    bed = facts.plot.bed_of(planting)
    together = [p for p in facts.plot.standing() if p.bed is not None and p.bed == planting.bed]
    share = shares_of_bed(together, facts.tables.crops).get(planting.key, 1.0)
    room = None if bed is None else bed.area_m2 * share
    return Stand(planting.plants, crop.plant_ground_m2, _leaf(facts, planting), room)


def _leaf(facts: SeasonFacts, planting: Planting) -> float:
    crop, started = facts.tables.crops[planting.crop], planting.started
    tabled = (
        crop.setout_to_first_pick_days if planting.set_out else None
    ) or crop.sow_to_first_pick_days
    days = planting.days_to_maturity or (None if tabled is None else tabled.value)
    if started is None or planting.bears or not days:
        return 1.0
    return leaf_share((facts.today - started).days, days)


def seen_on(facts: SeasonFacts, what: str) -> set[str]:
    """Plantings on whose plants something was seen and has not been missed since."""
    return {key for key, found in found_so_far(facts, what).items() if found.there}


def seen_ever(facts: SeasonFacts, what: str) -> frozenset[str]:
    """Plantings on whose plants some look of the season found something."""
    found = found_so_far(facts, what).items()
    return frozenset(key for key, one in found if one.some is not None)


def carried_from(facts: SeasonFacts, what: str) -> set[str]:
    """Plantings from which hands and clothes carry something on: seen there, or caught on a card.

    Adults that a card caught fly about those plants, though nobody knows whether they sit on them.
    """
    return {key for key, found in found_so_far(facts, what).items() if found.there or found.caught}


def found_so_far(facts: SeasonFacts, what: str) -> dict[str, Found]:
    """What all looks for one thing have left to be known of each planting, looks in their order.

    A look at leaves that found none of any stage clears a card before it, as a later empty card
    does.
    """
    found: dict[str, Found] = {}
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.what != what:
            continue
        before = found.get(seen.planting, Found())
        if seen.measure == "card":
            found[seen.planting] = replace(before, caught=not seen.found_none)
            continue
        full = not seen.stage and seen.measure != "shake"
        found[seen.planting] = Found(
            left_after(before.there, seen),
            before.caught and not full,
            event.day if full else before.full,
            before.some if seen.found_none else event.day,
        )
    return found


def ever_found(facts: SeasonFacts, what: str) -> bool:
    """Whether any look at all found some: on own plants, next door, or on a card."""
    looks = (e.payload for e in facts.events if isinstance(e.payload, Sighting))
    return any(seen.what == what and not seen.found_none for seen in looks)


def counted_on(facts: SeasonFacts, organism: str, day: date) -> frozenset[str]:
    """Plantings on whose leaves or plants an organism was counted on a day."""
    return frozenset(
        event.payload.planting
        for event in facts.events
        if event.day == day
        and isinstance(event.payload, Sighting)
        and event.payload.what == organism
        and event.payload.measure in ("count", "some")
    )


def last_looked(facts: SeasonFacts, planting: str, organism: str) -> date | None:
    """The last day somebody looked for an organism on a planting; a card is no look at leaves."""
    return last_looks(facts, organism).get(planting)


def last_looks(facts: SeasonFacts, organism: str) -> dict[str, date]:
    """The last day on which each planting was looked over for an organism."""
    found: dict[str, date] = {}
    for event in facts.events:
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what == organism and seen.measure != "card":
            found[seen.planting] = max(event.day, found.get(seen.planting, event.day))
    return found


def last_cards(facts: SeasonFacts, organism: str) -> dict[str, date]:
    """The last day on which a card caught some of an organism on each planting."""
    return {
        seen.planting: event.day
        for event in sorted(facts.events, key=lambda one: one.day)
        if isinstance(seen := event.payload, Sighting)
        and (seen.what, seen.measure) == (organism, "card")
        and not seen.found_none
    }


def eggs_missed(facts: SeasonFacts, organism: str) -> dict[str, Event]:
    """The last look at each planting, where it was for eggs of an organism and found none."""
    last: dict[str, Event] = {}
    for event in facts.events:
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what == organism and seen.measure != "card":
            last[seen.planting] = event
    stages = facts.tables.organisms[organism].stages
    return {key: event for key, event in last.items() if _of_no_eggs(event.payload, stages)}


def _of_no_eggs(seen: Payload, stages: Sequence[str]) -> bool:
    if not isinstance(seen, Sighting) or not seen.stage or not seen.found_none:
        return False
    named = named_stages(seen.stage, stages)
    return bool(named) and all(one.startswith("egg") for one in named)


def cares_of(parts: Iterable[PestPart]) -> dict[str, Care]:
    """Join what each organism leaves of a planting: what two take is taken twice."""
    found: dict[str, Care] = {}
    for part in parts:
        for key, care in part.cares.items():
            first = found.get(key)
            found[key] = care if first is None else _both(first, care)
    return found


def _both(one: Care, other: Care) -> Care:
    assert one.left is not None and other.left is not None
    assert one.fought is not None and other.fought is not None
    return Care(
        left=one.left * other.left,
        fought=one.fought * other.fought,
        work=one.work + other.work,
        treatments=one.treatments + other.treatments,
        seen=_seen_of_both(one, other),
    )


def _seen_of_both(one: Care, other: Care) -> Seen | None:
    if one.seen is None and other.seen is None:
        return None
    pair = (
        one.seen or Seen((), one.left, one.fought),
        other.seen or Seen((), other.left, other.fought),
    )
    return Seen(
        (*pair[0].unseen, *pair[1].unseen),
        taken_twice(pair[0].left, pair[1].left),
        taken_twice(pair[0].fought, pair[1].fought),
        doubted=(*pair[0].doubted, *pair[1].doubted),
    )


def taken_twice(
    one: NDArray[np.float64] | None, other: NDArray[np.float64] | None
) -> NDArray[np.float64] | None:
    """The share that two leave; None where neither takes anything."""
    if one is None or other is None:
        return other if one is None else one
    return np.asarray(one * other)


def by_day(works: Iterable[Iterable[tuple[date, Spraying]]]) -> dict[date, tuple[Spraying, ...]]:
    """What is treated on each day, one work for all that it is meant against."""
    found: dict[date, tuple[Spraying, ...]] = {}
    for work in works:
        for day, spraying in work:
            found[day] = (*found.get(day, ()), spraying)
    return {day: joined(sprayings) for day, sprayings in found.items()}


def with_telling(watches: Iterable[Watch], look_at: Sequence[str]) -> tuple[Watch, ...]:
    """The watches, with those marked whose look would tell why a sighting is at odds.

    look_at : keys of the plantings at which it would.
    """
    return tuple(replace(w, tells_why=w.planting.key in look_at) for w in watches)
