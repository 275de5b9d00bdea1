"""Works a plan out from its facts and lays it out by visit; the audit reads it before anyone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from lattermath.desk.absences import absences
from lattermath.desk.audited import audited
from lattermath.desk.evening_tasks import coming_visits
from lattermath.desk.frost import frost_coming, frost_visit, told_before_frost
from lattermath.desk.plan_closed import closed
from lattermath.desk.plan_outlook import frost_words, outlooks, season_rule
from lattermath.desk.plan_stamp import stamp_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.plan_warnings import warnings
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_series import heat_courses, water_courses
from lattermath.desk.work_out import work_out
from lattermath.vocabulary.plan import SCHEMA_VERSION, Plan, VisitPlan

Progress = Callable[[str, float], None]
SHOWN = 2  # this visit and the next
# What a frost asks for, by whether anything is picked before it, and whether covered.
BEFORE_FROST = {
    (True, True): (
        "pick what is tender and cover what is to stay",
        "Pick what is tender, and cover.",
    ),
    (True, False): ("pick what is tender", "Pick what is tender."),
    (False, True): ("cover what is to stay", "Cover."),
    (False, False): ("", ""),
}
ALL_ELSE = "All else can wait."


def laid_out(facts: SeasonFacts, previous: str, tell: Progress) -> tuple[Plan, WorkedOut]:
    """Give the whole plan, audited, and what it was laid out from.

    PlanViolates when it breaks a limit.
    """
    worked = work_out(facts, tell)
    tell("laying out the visits", 0.85)
    visits = _warned(facts, coming_visits(facts, worked, SHOWN))
    plan = _plan(facts, worked, visits, previous)
    tell("having it audited", 0.95)
    return audited(facts, plan), worked


def _warned(facts: SeasonFacts, visits: tuple[VisitPlan, ...]) -> tuple[VisitPlan, ...]:
    """A frost to come stands before everything else on the sheet, with what is done before it."""
    on = frost_visit(facts)
    kinds = {task.kind for visit in visits if visit.date == on for task in visit.tasks if task.must}
    does, first_of_all = BEFORE_FROST["pick" in kinds, "cover" in kinds]
    frost = frost_coming(facts, does)
    if not frost or not visits:
        return visits
    first = visits[0]
    told = ". ".join(words.rstrip(".") for words in (frost, first.warning) if words)
    short = f"{first_of_all} {ALL_ELSE}" if first_of_all else first.short_of_time
    return (replace(first, warning=told, short_of_time=short), *visits[1:])


def _plan(
    facts: SeasonFacts, worked: WorkedOut, visits: tuple[VisitPlan, ...], previous: str
) -> Plan:
    verdicts = [d.verdict for d in worked.crops.decisions.values()]
    verdicts += [f.verdict for f in worked.crops.fillings.values()]
    crops = worked.crops
    each, whole = outlooks(facts, crops.decisions, crops.beliefs, worked.pests.cares, crops.season)
    shut = closed(facts.plot, facts.applied, facts.now, worked.permits.cautions, visits)
    return Plan(
        schema_version=SCHEMA_VERSION,
        plot=facts.plot.name,
        as_of=facts.now,
        visits=visits,
        verdicts=tuple(told_before_frost(facts, verdicts)),
        picking=tuple(worked.clearances.values()),
        standby=worked.standby,
        populations=worked.pests.populations,
        outlook=each,
        warnings=warnings(facts, worked),
        stamp=stamp_of(facts, previous),
        frost=frost_words(facts),
        rough=facts.plot.rough,
        names=_names(facts),
        season=season_rule(facts),
        closed=shut,
        harvest=whole,
        away=absences(facts, worked, shut),
        last_sowings=worked.last_sowings,
        bare=worked.bare,
        water=water_courses(facts, worked, visits),
        heat=heat_courses(facts, worked),
    )


def _names(facts: SeasonFacts) -> tuple[tuple[str, str], ...]:
    plot, tables = facts.plot, facts.tables
    found = {planting.key: planting.name for planting in plot.plantings}
    found |= {bed.key: bed.name for bed in plot.beds}
    found |= {label.key: label.name for label in plot.shelf}
    found |= {key: organism.name for key, organism in tables.organisms.items()}
    found |= {key: disease.name for key, disease in tables.diseases.items()}
    return tuple(sorted(found.items()))
