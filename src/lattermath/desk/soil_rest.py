"""Diseases of the soil seen this season, as ground that must rest from their hosts."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.diseases import Disease
from lattermath.planning.leaf_sightings import sick_leaves
from lattermath.planning.next_spring import FAMILY_SAYS
from lattermath.planning.soil_rest import SoilRest
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.plot import Planting

REAL_HOST = 0.4  # judgement: hosts below this susceptibility may stand there


def soil_rests(facts: SeasonFacts) -> tuple[SoilRest, ...]:
    """Every bed that must rest, of plantings already pulled too, in the order of the plot."""
    return tuple(dict.fromkeys(_rests(facts)))


def _rests(facts: SeasonFacts) -> Iterator[SoilRest]:
    seen = sick_leaves(facts.events, facts.tables)
    for planting in facts.plot.plantings:
        bed = facts.plot.bed_of(planting)
        place, name = (planting.key, planting.name) if bed is None else (bed.key, bed.name)
        for sick in () if planting.neighbours_plot else seen.get(planting.key, ()):
            disease = facts.tables.diseases.get(sick.what)
            years, kinds, crops = _of(facts, disease, sick.what, planting)
            if years is not None and kinds:
                yield SoilRest(place, name, sick.name, kinds, crops, years.span)


def _of(
    facts: SeasonFacts, disease: Disease | None, word: str, planting: Planting
) -> tuple[Figure | None, str, frozenset[str]]:
    """How long it lasts, and on what: the hosts of its row, or the family of what showed it."""
    crops, named = facts.tables.crops, facts.tables.crosswalk
    if disease is not None:
        hosts = [h for h, figure in disease.hosts.items() if figure.value >= REAL_HOST]
        lives_on = frozenset(crop for crop in crops if named.host(crop, hosts) is not None)
        kinds = " or ".join(_many(host) for host in hosts)
        return disease.row.find("survival_years"), kinds, lives_on
    known = facts.tables.advised_of(word)
    family = crops[planting.crop].family
    lives_on = frozenset(crop for crop, row in crops.items() if row.family == family)
    return None if known is None else known.rest_years, FAMILY_SAYS.get(family, ""), lives_on


def _many(host: str) -> str:
    return host if host.endswith("s") or host == "lettuce" else f"{host}s"
