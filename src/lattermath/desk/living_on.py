"""What the tables have on a crop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from lattermath.desk.stand_ins import named_as
from lattermath.knowledge.crosswalk import Crosswalk
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


class Find(NamedTuple):
    """What was found of an insect or a kind, by the name it was given, and the crop it was on."""

    what: str
    name: str
    on: str

    def keeps_off(self, crop: str, crosswalk: Crosswalk) -> bool:
        """Whether it keeps to few kinds of plant (cabbage aphid), of which a crop is none."""
        few = crosswalk.lives_on(self.name, self.what, self.on)
        return bool(few) and set(few).isdisjoint(crosswalk.hosts_of(crop))


def find_of(seen: Sighting, grown: Mapping[str, str], crosswalk: Crosswalk) -> Find:
    """A sighting as a find. grown: crop by planting."""
    return Find(seen.what, named_as(seen, crosswalk), grown.get(seen.planting, ""))


def finds_of(events: Iterable[Event], plot: Plot, tables: Tables) -> tuple[Find, ...]:
    """All that was found on a plot, each once."""
    grown = {planting.key: planting.crop for planting in plot.plantings}
    return tuple(dict.fromkeys(
        find_of(seen, grown, tables.crosswalk)
        for event in events
        if isinstance(seen := event.payload, Sighting) and not seen.found_none
    ))  # fmt: skip


def found_living_on(finds: Iterable[Find], crop: str, tables: Tables) -> frozenset[str]:
    """Of what was found, insects and kinds of them: those that live on a crop.

    Where the finds of one keep to few kinds of plant, so does it.
    """
    crosswalk, found = tables.crosswalk, set[str]()
    for one in finds:
        if one.what in found:
            continue
        species = crosswalk.kinds.get(one.what, (one.what,))
        held = (tables.organisms.get(organism) for organism in species)
        suits = any(it is not None and among_hosts(it.hosts, crop, tables) for it in held)
        if suits and not one.keeps_off(crop, crosswalk):
            found.add(one.what)
    return frozenset(found)
