"""Blight as it was seen, tending as it was done, and tubers that wait for the end of both."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from zoneinfo import ZoneInfo

from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.potatoes import kept_in_the_ground, lifted_from
from lattermath.vocabulary.events import Care as CareDone
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Clearance


def blighted(facts: SeasonFacts) -> frozenset[str]:
    """Plantings on which late blight was seen, and not looked for in vain."""
    return frozenset(
        event.payload.planting
        for event in facts.events
        if isinstance(event.payload, Sighting)
        and event.payload.what == "late_blight"
        and not event.payload.found_none
    )


def last_care(facts: SeasonFacts) -> dict[tuple[str, str], date]:
    """Give the last day of each kind of tending, by planting and work."""
    return {
        (event.payload.planting, event.payload.work): event.day
        for event in facts.events
        if isinstance(event.payload, CareDone)
    }


def tubers_kept(
    facts: SeasonFacts, found: Mapping[str, Clearance], now: datetime
) -> dict[str, Clearance]:
    """The clearances at `now`, potatoes closed until their tubers may be lifted.

    Blighted haulm that stands is taken as cut at the next visit, as the sheet asks.
    """
    ill, done = blighted(facts), last_care(facts)
    zone = ZoneInfo(facts.plot.place.time_zone)
    cut = next(iter(facts.visits), facts.today)
    kept = dict(found)
    for planting in facts.plot.standing():
        lift = lifted_from(cut, planting, ill, done)
        if lift is not None and lift > now.astimezone(zone).date():
            kept[planting.key] = kept_in_the_ground(found[planting.key], lift, zone)
    return kept
