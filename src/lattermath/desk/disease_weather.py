"""Asks of the plot's own weather what it has let in, and adds the lines and looks to a plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from lattermath.belief.disease_risk import (
    LAST_DAYS,
    Risk,
    blight_risk,
    night_risk,
    severity_risk,
)
from lattermath.belief.infection_weather import BY_SEVERITY_VALUES, Nights
from lattermath.desk.dry_watering import lets_in, reasons_to_keep_dry, wet_evenings
from lattermath.desk.leaf_disease_belief import effects
from lattermath.desk.leaf_nights import LeafNights, leaf_nights
from lattermath.desk.named_since import sick_by_planting
from lattermath.desk.pest_parts import PestPlans, last_looked
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.diseases import Disease
from lattermath.planning.disease_weather import (
    ORDER,
    mention_line,
    most_pressing,
    risk_line,
    risk_watches,
    unknown_line,
)
from lattermath.planning.dry_watering import evening_line, unsaid_words
from lattermath.vocabulary.events import Treatment
from lattermath.vocabulary.plot import Planting

REAL_HOST = 0.1  # judgement: a host below this susceptibility is not worth a look
MOST_LOOKS = 2  # judgement: plantings looked at for one disease at one visit
LATE_BLIGHT = "late_blight"


def with_weather(facts: SeasonFacts, pests: PestPlans) -> PestPlans:
    """The plans with a line and a look for each disease that the weather lets in unseen.

    Water given over the leaves counts with the weather of the plantings that got it.
    """
    hosts, nights = _unseen(facts), leaf_nights(facts)
    pests = replace(pests, keep_dry=reasons_to_keep_dry(facts, nights))
    evenings = _watered_late(facts, nights)
    if not _measured_lately(facts):
        lines = [unknown_line(facts.tables.diseases[LATE_BLIGHT].name)]
        lines = [*(lines if LATE_BLIGHT in hosts else []), *evenings]
        return replace(pests, warnings=(*pests.warnings, *lines))
    found = {one.risk.disease: one for one in _risks(facts, nights, hosts)}
    lines, watches = [], list(pests.watches)
    pressing, others = most_pressing([one.risk for one in found.values()], _losses(facts))
    for risk in pressing:
        name, there = facts.tables.diseases[risk.disease].name, found[risk.disease].there
        there = there[:MOST_LOOKS]
        begun = facts.first + timedelta(days=found[risk.disease].begin)
        hours = bool(nights.weather.measured[_fortnight(facts)].mean() > 0.5)
        besides = unsaid_words([wet_evenings(facts, planting, nights) for planting in there])
        line = risk_line(risk, name, there, facts.first, begun, measured=hours, besides=besides)
        looked = [last_looked(facts, planting.key, risk.disease) for planting in there]
        lines.append(line)
        watches += risk_watches(risk, name, line, there, looked, facts.today)
    mention = mention_line(
        [
            (risk, facts.tables.diseases[risk.disease].name, found[risk.disease].there[:MOST_LOOKS])
            for risk in others
        ]
    )
    lines += [mention] if mention else []
    return replace(pests, warnings=(*pests.warnings, *lines, *evenings), watches=tuple(watches))


def _losses(facts: SeasonFacts) -> dict[str, float]:
    """Share of the yield that each disease takes at its worst, where the table has it."""
    told = {key: one.loss_per_unit_severity for key, one in facts.tables.diseases.items()}
    return {key: loss.value for key, loss in told.items() if loss is not None}


@dataclass(frozen=True, slots=True)
class _Found:
    """One risk, the day its sum begins on, and the plantings it is worst on first."""

    risk: Risk
    begin: int
    there: list[Planting]


def _risks(
    facts: SeasonFacts, nights: LeafNights, hosts: dict[str, list[Planting]]
) -> Iterator[_Found]:
    """Every risk where it is worst: plantings watered over the leaves have nights of their own."""
    for key, plantings in hosts.items():
        begin, sprayed = 0, False
        if key in BY_SEVERITY_VALUES:
            begin, sprayed = _sum_begins(facts, facts.tables.diseases[key], plantings)
        groups: dict[int, list[Planting]] = {}
        for planting in plantings:
            groups.setdefault(id(nights.on(planting.key)), []).append(planting)
        found = []
        for there in groups.values():
            risk = _risk(facts, key, nights.on(there[0].key), begin, sprayed)
            if risk is not None:
                rest = [one for one in plantings if one not in there]
                found.append(_Found(risk, begin, [*there, *rest]))
        if found:
            yield max(found, key=lambda one: (-ORDER[one.risk.sure], one.risk.counted[1]))


def _risk(facts: SeasonFacts, key: str, nights: Nights, begin: int, sprayed: bool) -> Risk | None:
    """What the weather says of one disease on plantings of one wetness; None: no figures."""
    today = facts.today_index
    if key == LATE_BLIGHT:
        rain = np.median(facts.rain, axis=0)
        return blight_risk(nights, facts.t_min[0], facts.t_max[0], rain, today)
    if key in BY_SEVERITY_VALUES:
        return severity_risk(key, nights, begin, today, sprayed)
    return night_risk(facts.tables.diseases[key], nights, today)


def _watered_late(facts: SeasonFacts, nights: LeafNights) -> list[str]:
    """The line about leaves watered in the evening, where that lets something in."""
    wet = {p.key: wet_evenings(facts, p, nights) for p in facts.plot.standing()}
    late = [p for p in facts.plot.standing() if wet[p.key].evenings and lets_in(facts, p)]
    if not late:
        return []
    return [evening_line([wet[p.key] for p in late], lets_in(facts, late[0]))]


def _sum_begins(
    facts: SeasonFacts, disease: Disease, plantings: list[Planting]
) -> tuple[int, bool]:
    """The day after the last treatment that keeps it off, else the earliest setting out."""
    keys = {planting.key for planting in plantings}
    keeps = {m for m, e in effects(facts, disease.id).items() if any(side[1] for side in e.cover)}
    days = [
        facts.day_index(event.day)
        for event in facts.events
        if isinstance(event.payload, Treatment)
        and event.payload.method in keeps
        and keys & set(event.payload.plantings)
    ]
    if days:
        return max(max(days) + 1, 0), True
    begun = [facts.day_index(p.started) for p in plantings if p.started is not None]
    return max(min(begun, default=facts.today_index - LAST_DAYS), 0), False


def _unseen(facts: SeasonFacts) -> dict[str, list[Planting]]:
    """Diseases that wet leaves let in and nobody sees now, with the plantings they suit."""
    ill = sick_by_planting(facts)
    seen = {sick.what for there in ill.values() for sick in there}
    found: dict[str, list[Planting]] = {}
    for key, disease in facts.tables.diseases.items():
        if key in seen or not disease.spread_by_wet_leaves:
            continue
        hosts = [p for p in facts.plot.standing() if _suits(facts, disease, p)]
        if hosts:
            found[key] = hosts
    return found


def _suits(facts: SeasonFacts, disease: Disease, planting: Planting) -> bool:
    word = facts.tables.crosswalk.host(planting.crop, disease.hosts)
    if word is None or disease.id in planting.resists:
        return False
    return disease.hosts[word].value >= REAL_HOST


def _fortnight(facts: SeasonFacts) -> slice:
    return slice(max(facts.today_index - LAST_DAYS, 0), facts.today_index)


def _measured_lately(facts: SeasonFacts) -> bool:
    """Were at least half of the last fortnight's days measured?"""
    days = [facts.record.at(facts.today - timedelta(days=n)) for n in range(1, LAST_DAYS + 1)]
    known = [0 <= d < facts.record.n_days and not facts.record.filled[d] for d in days]
    return sum(known) >= LAST_DAYS / 2
