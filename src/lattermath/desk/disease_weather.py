"""Asks of the plot's own weather what it has let in, and adds the lines and looks to a plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
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
from lattermath.desk.leaf_disease_belief import effects, nights_here
from lattermath.desk.pest_parts import PestPlans, last_looked
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.diseases import Disease
from lattermath.planning.disease_weather import (
    most_pressing,
    risk_line,
    risk_watches,
    unknown_line,
)
from lattermath.planning.leaf_sightings import sick_leaves
from lattermath.vocabulary.events import Treatment
from lattermath.vocabulary.plot import Planting

REAL_HOST = 0.1  # judgement: a host below this susceptibility is not worth a look
MOST_LOOKS = 2  # judgement: plantings looked at for one disease at one visit
LATE_BLIGHT = "late_blight"


def with_weather(facts: SeasonFacts, pests: PestPlans) -> PestPlans:
    """The plans with a line and a look for each disease that the weather lets in unseen."""
    hosts = _unseen(facts)
    if not hosts:
        return pests
    if not _measured_lately(facts):
        lines = [unknown_line(facts.tables.diseases[LATE_BLIGHT].name)]
        return replace(pests, warnings=(*pests.warnings, *(lines if LATE_BLIGHT in hosts else [])))
    nights = nights_here(facts)
    risks = {one.disease: (one, begin) for one, begin in _risks(facts, nights, hosts)}
    lines, watches = [], list(pests.watches)
    for risk in most_pressing([one for one, _ in risks.values()]):
        name, there = facts.tables.diseases[risk.disease].name, hosts[risk.disease][:MOST_LOOKS]
        begun = facts.first + timedelta(days=risks[risk.disease][1])
        hours = bool(nights.measured[_fortnight(facts)].mean() > 0.5)
        line = risk_line(risk, name, there, facts.first, begun, measured=hours)
        looked = [last_looked(facts, planting.key, risk.disease) for planting in there]
        lines.append(line)
        watches += risk_watches(risk, name, line, there, looked, facts.today)
    return replace(pests, warnings=(*pests.warnings, *lines), watches=tuple(watches))


def _risks(
    facts: SeasonFacts, nights: Nights, hosts: dict[str, list[Planting]]
) -> Iterator[tuple[Risk, int]]:
    """Every risk with the day its sum begins on."""
    today, rain = facts.today_index, np.median(facts.rain, axis=0)
    for key, plantings in hosts.items():
        disease = facts.tables.diseases[key]
        if key == LATE_BLIGHT:
            yield blight_risk(nights, facts.t_min[0], facts.t_max[0], rain, today), 0
        elif key in BY_SEVERITY_VALUES:
            begin, sprayed = _sum_begins(facts, disease, plantings)
            yield severity_risk(key, nights, begin, today, sprayed), begin
        elif (risk := night_risk(disease, nights, today)) is not None:
            yield risk, 0


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
    ill = sick_leaves(facts.events, facts.tables)
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
