"""Entries that cannot both be so, as two phones bring them: shown, and settled by nobody else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from lattermath.vocabulary.events import Event, Sighting, TaskDone, Treatment

TICKED_TWICE = "one job is ticked twice"
NONE_AND_SOME = "one found none and the other some, on the same day"
TREATED_TWICE = "the same treatment is written down twice on one day"


@dataclass(frozen=True, slots=True)
class AtOdds:
    """Two standing entries, by serial, the earlier first, and why they do not go together."""

    first: int
    second: int
    why: str


def entries_at_odds(standing: Sequence[Event]) -> tuple[AtOdds, ...]:
    """Every pair of entries that cannot both be so; the newest first.

    standing : entries that were neither corrected nor taken back.
    """
    asked = [e for e in standing if isinstance(e.payload, (Sighting, TaskDone, Treatment))]
    ordered = sorted(asked, key=lambda event: event.serial)
    by_day: dict[object, list[Event]] = {}
    for event in ordered:
        by_day.setdefault(_about(event), []).append(event)
    found = [pair for events in by_day.values() for pair in _pairs(events)]
    return tuple(sorted(found, key=lambda pair: -pair.second))


def _about(event: Event) -> object:
    """What two entries must share before they can be at odds."""
    done = event.payload
    if isinstance(done, TaskDone):
        return done.task
    if isinstance(done, Sighting):
        # What flies up, and what hangs on a card, says little of what sits on a leaf.
        way = done.measure if done.measure in ("shake", "card") else "leaves"
        return event.day, done.planting, done.what, way
    assert isinstance(done, Treatment)
    return event.day, frozenset(done.plantings), done.product or done.method


def _pairs(events: Sequence[Event]) -> Iterator[AtOdds]:
    for one, other in combinations(events, 2):
        if why := _why(one, other):
            yield AtOdds(one.serial, other.serial, why)


def _why(one: Event, other: Event) -> str:
    a, b = one.payload, other.payload
    if isinstance(a, TaskDone):
        return TICKED_TWICE
    if isinstance(a, Treatment):
        return TREATED_TWICE
    if isinstance(a, Sighting) and isinstance(b, Sighting) and a.found_none != b.found_none:
        return NONE_AND_SOME
    return ""
