"""Which species a kind of insect is, where the grower named only the kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.insect_belief import STRANGER, believe_insects, is_strange
from lattermath.desk.kind_words import many_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.stand_ins import named_as
from lattermath.planning.courses import HAND_COVERAGE
from lattermath.vocabulary.events import Sighting, Surface
from lattermath.vocabulary.plan import Population
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.tenths import about

NAMED_TOO = 3.0  # judgement: a species named on this plot is so many times as likely
SURE = 0.95  # from here the others are not spoken of
BOTH: tuple[Surface, ...] = ("underside", "top")


@dataclass(frozen=True, slots=True)
class Identity:
    """What one kind on some plantings may be, the likeliest species first; chances sum to 1."""

    kind: str
    plantings: tuple[str, ...]
    chances: Mapping[str, float]

    @property
    def species(self) -> str:
        """The likeliest."""
        return max(self.chances, key=lambda one: self.chances[one])


def identified(facts: SeasonFacts) -> tuple[SeasonFacts, tuple[Identity, ...]]:
    """The facts with the likeliest species in place of each kind, and what else it may be.

    Species are weighed by what they can live on, how common they are, whether they were named on
    this plot, and the probability of all that was seen (the tempering constants of the belief).
    """
    found = tuple(_identities(facts))
    species = {(one.kind, key): one.species for one in found for key in one.plantings}
    events = tuple(
        replace(event, payload=replace(seen, what=species[seen.what, seen.planting]))
        if isinstance(seen := event.payload, Sighting) and (seen.what, seen.planting) in species
        else event
        for event in facts.events
    )
    called = {one.species: words for one in found if (words := _called(facts, one.species, found))}
    all_kept = {one: _keeps_to(facts, one, found) for one in set(species.values())}
    kept = {one: few for one, few in all_kept.items() if few is not None}
    return replace(facts, events=events, called=called, kept_to=kept), found


def _keeps_to(facts: SeasonFacts, species: str, known: Iterable[Identity]) -> frozenset[str] | None:
    """Host words of all that was found under a species, if each find keeps to few; else None.

    Whoever stands in for a species with few hosts is not believed to fly to others; found on one
    that is none of them, or by its own name, it may.
    """
    kept: set[str] = set()
    mine = [one for one in known if one.species == species]
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.found_none:
            continue
        if seen.what == species:
            return None
        if any(seen.what == one.kind and seen.planting in one.plantings for one in mine):
            crop = facts.plot.planting(seen.planting).crop
            name = named_as(seen, facts.tables.crosswalk)
            few = facts.tables.crosswalk.lives_on(name, seen.what, crop)
            if not few:
                return None
            kept.update(few)
    return frozenset(kept) or None


def _called(facts: SeasonFacts, species: str, known: Iterable[Identity]) -> str:
    """The words that a species was logged in, where nobody named it and some were found.

    One that was named too has its own name, beside those of others that it stands in for.
    """
    mine = [one for one in known if one.species == species]
    if not _is_named(facts, species):
        return " and ".join(dict.fromkeys(word for one in mine for word in _logged_as(facts, one)))
    others = [word for one in mine for word in _logged_as(facts, one, exact=True) if word]
    return " and ".join(dict.fromkeys((_name(facts, species), *others))) if others else ""


def _is_named(facts: SeasonFacts, species: str) -> bool:
    return any(
        isinstance(event.payload, Sighting) and event.payload.what == species
        for event in facts.events
    )


def _identities(facts: SeasonFacts) -> Iterator[Identity]:
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for event in facts.events:
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what in facts.tables.crosswalk.kinds:
            may_be = species_on(facts, seen.what, seen.planting)
            plantings = groups.setdefault((seen.what, may_be), [])
            if may_be and seen.planting not in plantings:
                plantings.append(seen.planting)
    for (kind, may_be), plantings in sorted(groups.items()):
        if may_be:
            yield Identity(kind, tuple(plantings), _chances(facts, kind, may_be, plantings))


def species_on(facts: SeasonFacts, kind: str, planting: str) -> tuple[str, ...]:
    """The species of a kind that can live on a planting's crop."""
    crop = next((p.crop for p in facts.plot.plantings if p.key == planting), None)
    species = facts.tables.crosswalk.kinds[kind]
    return () if crop is None else tuple(s for s in species if _suits(facts, s, crop) > 0)


def _suits(facts: SeasonFacts, species: str, crop: str) -> float:
    hosts = facts.tables.organisms[species].hosts
    named = facts.tables.crosswalk.host(crop, hosts)
    return 0.0 if named is None else hosts[named].value


def _chances(
    facts: SeasonFacts, kind: str, may_be: tuple[str, ...], plantings: list[str]
) -> dict[str, float]:
    if len(may_be) == 1:
        return {may_be[0]: 1.0}
    named = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    crops = [facts.plot.planting(key).crop for key in plantings]
    logs = []
    for one in may_be:
        suits = float(np.mean([_suits(facts, one, crop) for crop in crops]))
        usual = suits * facts.tables.habits[one].commonness * (NAMED_TOO if one in named else 1.0)
        usual *= STRANGER if is_strange(facts, one) and one not in named else 1.0
        belief = believe_insects(_as(facts, kind, one, plantings), one)
        logs.append(np.log(usual) + (belief.evidence if belief is not None else 0.0))
    weights = np.exp(np.array(logs) - max(logs))
    chances = weights / weights.sum()
    ranked = sorted(zip(may_be, chances.tolist(), strict=True), key=lambda pair: -pair[1])
    return dict(ranked)


def _as(facts: SeasonFacts, kind: str, species: str, plantings: list[str]) -> SeasonFacts:
    """The facts as if these sightings had been of that species, and no other of its kind seen."""
    events = []
    for event in facts.events:
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what in (kind, species):
            if seen.what == species or seen.planting not in plantings:
                continue
            events.append(replace(event, payload=replace(seen, what=species)))
        else:
            events.append(event)
    return replace(facts, events=tuple(events))


def told(facts: SeasonFacts, population: Population, known: tuple[Identity, ...]) -> Population:
    """A population with what else its insects may be, and what the course does to those.

    facts : as logged, with the kinds still in them.
    """
    mine = [one for one in known if one.species == population.organism]
    population = _assumed(facts, population, known)
    unsure = [one for one in mine if max(one.chances.values()) < SURE]
    if not unsure:
        return population
    says, course_says = population.says, population.course_says
    for one in unsure:
        shares = ", ".join(
            f"{_name(facts, species)} {chance:.0%}"
            for species, chance in one.chances.items()
            if chance >= 1 - SURE
        )
        named = all(_logged_as(facts, one, exact=True))
        which = "Whose figures fit best" if named else f"Which {one.kind}"
        says += f" {which} is not known: {shares}."
        for species, chance in list(one.chances.items())[1:]:
            if chance >= 1 - SURE:
                course_says += _were_it(facts, one, species, population)
    return replace(population, says=says, course_says=course_says)


def _assumed(facts: SeasonFacts, population: Population, known: Iterable[Identity]) -> Population:
    """A population by the words it was logged in, where they do not name its species."""
    called = _called(facts, population.organism, known)
    begins = f"{capital(called)}: "
    if not called or not population.says.startswith(begins):
        return population
    name = _name(facts, population.organism)
    says = f"{capital(called)}, reckoned as {name}: {population.says.removeprefix(begins)}"
    if _keeps_to(facts, population.organism, known):
        says += " Such keep to these and their kin, so nothing else is reckoned with until found."
    return replace(population, says=says, called=called, reckoned_as=name)


def _logged_as(facts: SeasonFacts, known: Identity, *, exact: bool = False) -> Iterator[str]:
    """The words in which a kind was logged on its plantings, where any was found.

    exact : "" for the kind itself, and only the name of a species that it stands in for.
    """
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.found_none or seen.what != known.kind:
            continue
        if seen.planting in known.plantings:
            name = named_as(seen, facts.tables.crosswalk)
            yield name if name or exact else many_of(known.kind)


def _were_it(facts: SeasonFacts, known: Identity, species: str, population: Population) -> str:
    """What the course leaves if it is the other species."""
    if not population.course:
        return ""
    belief = believe_insects(_as(facts, known.kind, species, list(known.plantings)), species)
    if belief is None:
        return ""
    planned = tuple(_applications(facts, belief, population))
    last = (population.course[-1].day - facts.today).days
    with_it = belief.ahead(planned).sums[:, :, last].sum((1, 2))
    without = belief.ahead().sums[:, :, last].sum((1, 2))
    left = float(np.median(with_it / np.maximum(without, 1e-9)))
    return f" Were it the {_name(facts, species)}, {about(left)} would be left of those untreated."


def _applications(
    facts: SeasonFacts, belief: ClusterBelief, population: Population
) -> Iterator[Application]:
    keys = [stand.key for stand in belief.stands]
    targets = facts.tables.crosswalk.targets.get(belief.organism, ())
    for step in population.course:
        method = facts.tables.methods[step.method]
        effect = effect_of(method, belief.organism, targets, belief.life.stages)
        places = tuple(keys.index(key) for key in step.plantings if key in keys)
        if effect is not None and places:
            day = facts.day_index(step.day) - belief.first_day
            yield Application(
                day, effect, places, reach_of(effect, BOTH, HAND_COVERAGE, belief.life.figures)
            )


def _name(facts: SeasonFacts, species: str) -> str:
    return facts.tables.organisms[species].name
