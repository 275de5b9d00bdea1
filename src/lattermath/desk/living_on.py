"""What the tables have on a crop."""

from __future__ import annotations

from lattermath.knowledge.tables import Tables


def lives_on(what: str, crop: str, tables: Tables) -> bool:
    """Whether the tables have something on a crop; what they have no hosts of may live anywhere."""
    found = False
    for one in tables.crosswalk.kinds.get(what, (what,)):
        held = tables.organisms.get(one) or tables.diseases.get(one)
        if held is None:
            return True
        host = tables.crosswalk.host(crop, held.hosts)
        found = found or (host is not None and held.hosts[host].value > 0)
    return found
