"""Which own hosts of an insect are clean, and what mesh, cards and the like would do there."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.pest_parts import FRESH_DAYS, last_looks
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.means import MESH, cover_of, on_hand
from lattermath.planning.other_means import Hosts, other_means
from lattermath.planning.still_there import NOTHING, Part, left_after
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.ruling import Because

SURE = 0.9  # judgement: chance of not one insect from which a planting counts as clean unseen
PARTLY = ("shake", "card")  # looks that say nothing of what sits on the leaves


def means_told(
    facts: SeasonFacts, belief: ClusterBelief, sick: Collection[str]
) -> tuple[Because, ...]:
    """What mesh, cards and the like would do, and why they are no step of the course.

    sick : keys of the plantings on which it was seen.
    """
    usable = {*on_hand(facts.plot), *((MESH,) if cover_of(facts.plot) else ())}
    return other_means(
        facts.tables.methods,
        facts.tables.crosswalk.targets.get(belief.organism, ()),
        facts.plot.visiting,
        hosts_of(facts, belief, sick),
        usable,
    )


def hosts_of(facts: SeasonFacts, belief: ClusterBelief, sick: Collection[str]) -> Hosts:
    """Own hosts on which it was not seen, parted into clean ones and those to look at first.

    Clean is one that a look of all stages found free within FRESH_DAYS, no card having caught some
    since, or that bears not one insect in nine of ten draws.
    """
    free, caught = looked_free(facts, belief.organism)
    looked = last_looks(facts, belief.organism)
    clean, unsure, bees = [], [], set()
    for place, stand in enumerate(belief.stands):
        planting = facts.plot.planting(stand.key)
        if stand.key in sick or planting.neighbours_plot:
            continue
        if facts.tables.crops[planting.crop].family == "Cucurbitaceae":
            bees.add(planting.name)
        if stand.key in free or _none_believed(belief, place):
            clean.append(planting.name)
        else:
            caught_some = stand.key in caught
            unsure.append((planting.name, _why(caught_some, looked.get(stand.key))))
    return Hosts(tuple(clean), tuple(unsure), frozenset(bees))


def looked_free(facts: SeasonFacts, organism: str) -> tuple[frozenset[str], frozenset[str]]:
    """Plantings that a fresh look of all stages found free, and those whose card caught some since.

    A card says that adults fly there, which a look at leaves done after it may still clear.
    """
    there: dict[str, frozenset[Part]] = {}
    full: dict[str, date] = {}
    caught: set[str] = set()
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.what != organism:
            continue
        there[seen.planting] = left_after(there.get(seen.planting, NOTHING), seen)
        if _of_all_stages(event):
            full[seen.planting] = event.day
            caught.discard(seen.planting)
        elif seen.measure == "card" and not seen.found_none:
            caught.add(seen.planting)
    fresh = {key for key, day in full.items() if (facts.today - day).days <= FRESH_DAYS}
    return frozenset(key for key in fresh if not there[key]), frozenset(caught)


def _of_all_stages(event: Event) -> bool:
    seen = event.payload
    return isinstance(seen, Sighting) and not seen.stage and seen.measure not in PARTLY


def _none_believed(belief: ClusterBelief, place: int) -> bool:
    """Whether not one insect lives there today in nearly all draws."""
    return bool((belief.past[:, place, -1].sum(-1) < 1).mean() >= SURE)


def _why(caught_some: bool, looked: date | None) -> str:
    """Why nobody knows whether it is clean."""
    if caught_some:
        return "a card caught some"
    return "not looked at yet" if looked is None else f"last looked at on {short(looked)}"
