"""What the record's own readings of a leaf disease add up to, and which leaves take it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from lattermath.desk.season_facts import SeasonFacts
from lattermath.science.disease_progress import progress_area
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.class_ends import SEVERITY_LEVELS
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Level, Sighting
from lattermath.vocabulary.plan import Population
from lattermath.vocabulary.ruling import Because

SIDES = {"top": " on top", "underside": " underneath", "stem": " on stems"}


def with_progress(facts: SeasonFacts, population: Population) -> Population:
    """The population with the area under its readings by planting, and the age of leaf to look at.

    Populations of insects come back as they are.
    """
    if population.organism not in facts.tables.diseases:
        return population
    age = facts.tables.leaf_ages.get(population.organism)
    told = list(_areas(facts, population))
    if age is not None and age.says:
        address = f"table:leaf_ages/{population.organism}/says"
        told.append(Because(age.says, rests_on=(address,)))
    return replace(population, because=(*population.because, *told))


def _areas(facts: SeasonFacts, population: Population) -> Iterator[Because]:
    """AUDPC and AUDPS of each planting on which two days' severities or more were read."""
    for key in population.plantings:
        days, serials, side = _readings(facts, key, population.organism)
        if len(days) < 2:
            continue
        when = [(day - min(days)).days for day in sorted(days)]
        area = progress_area(when, [days[day] for day in sorted(days)])
        if area.audpc is None or area.relative is None or area.audps is None:
            continue
        yield Because(
            f"{facts.plot.planting(key).name}: {len(days)} readings{side} over "
            f"{counted(when[-1], 'days')} add up to "
            f"{area.audpc:.0f} percent-days (AUDPC; {area.relative * 100:.0f} % of the leaf on "
            f"average) and {area.audps:.0f} by steps (AUDPS)",
            rests_on=tuple(f"event:{serial}" for serial in serials),
        )


def last_judged(facts: SeasonFacts, disease: str, planting: str) -> str:
    """What was last judged of a disease on a planting, each side of that day, in words; "" for
    nothing."""
    looks = [
        (event.day, seen)
        for event in facts.events
        if isinstance(seen := event.payload, Sighting)
        and (seen.planting, seen.what) == (planting, disease)
        and _judged(seen)
    ]
    if not looks:
        return ""
    day = max(day for day, _ in looks)
    sides = {SIDES.get(seen.surface, ""): _judged(seen) for when, seen in looks if when == day}
    told = " and ".join(f"{what}{side}" for side, what in sides.items())
    return f" Last judged there, {said(day)}: {told}."


def _judged(seen: Sighting) -> str:
    """How much of the leaf a look gave; "" where it was seen, and nobody said how much."""
    if seen.found_none:
        return "none"
    if seen.surface == "stem":
        return "some"
    if seen.percent is not None:
        return f"{seen.percent:g} % of the leaf"
    return "" if seen.level is None else f"{seen.level} ({_class_said(seen.level)})"


def _class_said(level: Level) -> str:
    """What a class of a severity stands for. [%]"""
    low, high = (100 * end for end in SEVERITY_LEVELS[level])
    if low < 1:
        return f"up to {high:g} %"
    return f"from {low:g} %" if high >= 100 else f"{low:g} to {high:g} %"


def _readings(
    facts: SeasonFacts, planting: str, disease: str
) -> tuple[dict[date, float], list[int], str]:
    """Severity by day, with the entries and the side where it is of one only. [%]

    Of several sides the mean, and only of days on which each of them was read: what was read on
    more sides is held against others by those that all of them have.
    """
    read: dict[date, dict[str, list[tuple[float, int]]]] = {}
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or (seen.planting, seen.what) != (planting, disease):
            continue
        if seen.percent is not None:
            sides = read.setdefault(event.day, {})
            sides.setdefault(seen.surface, []).append((seen.percent, event.serial))
    alike = [
        (frozenset(sides), [day for day in read if set(sides) <= set(read[day])])
        for sides in read.values()
    ]
    same, days = max(alike, key=lambda one: (len(one[1]), len(one[0])), default=(frozenset(), []))
    told = {day: [one for side in sorted(same) for one in read[day][side]] for day in days}
    means = {day: sum(percent for percent, _ in one) / len(one) for day, one in told.items()}
    serials = sorted(serial for one in told.values() for _, serial in one)
    return means, serials, SIDES.get(next(iter(same)), "") if len(same) == 1 else ""
