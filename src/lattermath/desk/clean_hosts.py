"""Which own hosts of an insect are clean, and what mesh, cards and the like would do there."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.pest_parts import FRESH_DAYS, Found, found_so_far, last_looks
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.means import MESH, cover_of, on_hand
from lattermath.planning.other_means import Hosts, other_means
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.ruling import Because

SURE = 0.9  # judgement: chance of not one insect from which a planting counts as clean unseen
DOUBT_DAYS = 14  # judgement: for as long one look without any does not clear what bore some before


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

    Clean is one that a look of all stages found free within FRESH_DAYS, or that bears not one
    insect in nine of ten draws; no card having caught some since. Where a look found some within
    DOUBT_DAYS, a later one that found none does not do without such a belief.
    """
    found = found_so_far(facts, belief.organism)
    looked = last_looks(facts, belief.organism)
    clean, unsure, bees = [], [], set()
    for place, stand in enumerate(belief.stands):
        planting = facts.plot.planting(stand.key)
        if stand.key in sick or planting.neighbours_plot:
            continue
        here = found.get(stand.key, Found())
        if facts.tables.crops[planting.crop].family == "Cucurbitaceae":
            bees.add(planting.name)
        if _looked_free(here, facts.today) or (not here.caught and _none_believed(belief, place)):
            clean.append(planting.name)
        else:
            unsure.append((planting.name, _why(here, looked.get(stand.key))))
    return Hosts(tuple(clean), tuple(unsure), frozenset(bees))


def _looked_free(found: Found, today: date) -> bool:
    """Whether a look of all stages lately found none on it, no other found some not long before
    it, and no card caught some since."""
    if found.there or found.caught or found.full is None:
        return False
    if found.some is not None and (today - found.some).days <= DOUBT_DAYS:
        return False
    return (today - found.full).days <= FRESH_DAYS


def _none_believed(belief: ClusterBelief, place: int) -> bool:
    """Whether not one insect lives there today in nearly all draws."""
    return bool((belief.past[:, place, -1].sum(-1) < 1).mean() >= SURE)


def _why(found: Found, looked: date | None) -> str:
    """Why nobody knows whether it is clean."""
    if found.caught:
        return "a card caught some"
    if looked is None:
        return "not looked at yet"
    if found.some is not None and found.some < looked:
        return f"some found on {short(found.some)}, none on {short(looked)}"
    return f"last looked at on {short(looked)}"
