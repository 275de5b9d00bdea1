"""Every insect and mite that something was seen of, each with its course."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.identity import identified, told
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_work import insect_part
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPart
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.events import Sighting


def plan_insects(
    as_logged: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> Iterator[PestPart]:
    """Work out each in the order of the table; what is planned against one counts for the next."""
    facts, known = identified(as_logged)
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    others: list[tuple[date, Spraying]] = []
    for organism in facts.tables.organisms:
        belief = believe_insects(facts, organism) if organism in seen else None
        if belief is None:
            continue
        part = insect_part(facts, belief, beliefs, permits, tuple(others))
        others += part.sprayings
        yield replace(part, population=told(as_logged, part.population, known))
