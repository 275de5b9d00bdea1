"""Nothing is sprayed on leaves that were watered from above a little before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lattermath.audit.closures import on_the_soil
from lattermath.audit.figures import HOUR, UNTIL_DRY_HOURS
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import Event, Watering
from lattermath.vocabulary.plot import Planting


def check_watered(
    applied: Iterable[Application], events: Iterable[Event], site: Site
) -> Iterator[Fault]:
    """Each spray of the plan against the watering of the hours before it."""
    entries = list(events)
    gone = {entry.supersedes for entry in entries}
    given = [e for e in entries if isinstance(e.payload, Watering) and e.id not in gone]
    for a in applied:
        planting = site.plantings.get(a.planting)
        if a.task is None or a.label is None or on_the_soil(a.label) or planting is None:
            continue
        for entry in given:
            ago = a.begins - entry.happened_at.timestamp()
            if 0 <= ago < UNTIL_DRY_HOURS * HOUR and _over(entry.payload, planting, site):
                yield Fault("sprays leaves watered from above", a.where, f"entry {entry.serial}")


def _over(poured: object, planting: Planting, site: Site) -> bool:
    assert isinstance(poured, Watering)
    here = poured.planting == planting.key
    here = here or (poured.planting is None and poured.bed in (None, planting.bed))
    return here and (poured.way or site.plot.usual_watering(planting)) == "overhead"
