"""A species that has no figures of its own, carried as the kind whose figures stand in for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from lattermath.knowledge.crosswalk import Crosswalk
from lattermath.vocabulary.events import Event, Sighting

if TYPE_CHECKING:
    from lattermath.knowledge.tables import Tables
    from lattermath.vocabulary.plan import Population

PARTS = "; "  # between the name it was logged by and the grower's own note


def by_kind(seen: Sighting, crosswalk: Crosswalk) -> Sighting:
    """A sighting by the kind that stands in for what was named; the name is kept in its note."""
    kind = crosswalk.stood_in(seen.what)
    if kind is None:
        return seen
    note = PARTS.join(part for part in (seen.what.strip(), seen.note) if part)
    return replace(seen, what=kind, note=note)


def all_by_kind(events: Iterable[Event], crosswalk: Crosswalk) -> tuple[Event, ...]:
    """Events likewise: of entries from before a name had a kind to stand in for it."""
    return tuple(
        replace(event, payload=by_kind(event.payload, crosswalk))
        if isinstance(event.payload, Sighting)
        else event
        for event in events
    )


def named_as(seen: Sighting, crosswalk: Crosswalk) -> str:
    """The name by which a kind was logged: `cabbage aphid`; "" where it was logged as the kind."""
    name = seen.note.split(PARTS)[0]
    return name if crosswalk.stood_in(name) == seen.what else ""


def name_of(population: Population, tables: Tables) -> str:
    """A population by the words it was logged in, or by the name of its species or disease."""
    return population.called or tables.named(population.organism)
