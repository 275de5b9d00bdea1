"""What the tables have on a crop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lattermath.desk.stand_ins import named_as
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.plot import Plot


def among_hosts(hosts: Mapping[str, Figure], crop: str, tables: Tables) -> bool:
    """Whether a crop is among these hosts, with a suitability above nothing."""
    host = tables.crosswalk.host(crop, hosts)
    return host is not None and hosts[host].value > 0


def lives_on(what: str, crop: str, tables: Tables) -> bool:
    """Whether the tables have something on a crop; what they have no hosts of may live anywhere."""
    found = False
    for one in tables.crosswalk.kinds.get(what, (what,)):
        held = tables.organisms.get(one) or tables.diseases.get(one)
        if held is None:
            return True
        found = found or among_hosts(held.hosts, crop, tables)
    return found


def found_living_on(
    events: Iterable[Event], plot: Plot, crop: str, tables: Tables
) -> frozenset[str]:
    """Of the insects, and kinds of them, that were found on a plot: those that live on a crop.

    Where the finds of one keep to few kinds of plant (cabbage aphid), so does it.
    """
    crosswalk, near = tables.crosswalk, tables.crosswalk.hosts_of(crop)
    grown = {planting.key: planting.crop for planting in plot.plantings}
    finds = dict.fromkeys(
        (seen.what, named_as(seen, crosswalk), grown.get(seen.planting, ""))
        for event in events
        if isinstance(seen := event.payload, Sighting) and not seen.found_none
    )
    found: set[str] = set()
    for what, name, on in finds:
        if what in found:
            continue
        few = crosswalk.lives_on(name, what, on)
        species = crosswalk.kinds.get(what, (what,))
        held = (tables.organisms.get(one) for one in species)
        suits = any(one is not None and among_hosts(one.hosts, crop, tables) for one in held)
        if suits and (not few or not set(few).isdisjoint(near)):
            found.add(what)
    return frozenset(found)
