"""What the tables have on a crop."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.figure import Figure


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


def crops_of(what: Collection[str], tables: Tables) -> dict[str, frozenset[str]]:
    """The crops of the tables that each of these insects lives on, a kind on those of any of it."""
    return {
        one: frozenset(
            crop
            for species in tables.crosswalk.kinds.get(one, (one,))
            if (held := tables.organisms.get(species)) is not None
            for crop in tables.crops
            if among_hosts(held.hosts, crop, tables)
        )
        for one in what
    }
