"""Works a plan out from its facts and lays it out by visit; the audit reads it before anyone."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from lattermath.desk.absences import absences
from lattermath.desk.audited import audited
from lattermath.desk.evening_tasks import coming_visits
from lattermath.desk.plan_closed import closed
from lattermath.desk.plan_outlook import frost_words, outlooks, season_rule
from lattermath.desk.plan_stamp import stamp_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.plan_warnings import warnings
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_series import heat_courses, water_courses
from lattermath.desk.visits_told import courses_told, verdicts_told, warned
from lattermath.desk.work_out import work_out
from lattermath.vocabulary.plan import SCHEMA_VERSION, Plan, Population, VisitPlan

Progress = Callable[[str, float], None]
SHOWN = 2  # this visit and the next


def laid_out(facts: SeasonFacts, previous: str, tell: Progress) -> tuple[Plan, WorkedOut]:
    """Give the whole plan, audited, and what it was laid out from.

    PlanViolates when it breaks a limit.
    """
    worked = work_out(facts, tell)
    tell("laying out the visits", 0.85)
    visits = warned(facts, coming_visits(facts, worked, SHOWN))
    plan = _plan(facts, worked, visits, previous)
    tell("having it audited", 0.95)
    return audited(facts, plan), worked


def _plan(
    facts: SeasonFacts, worked: WorkedOut, visits: tuple[VisitPlan, ...], previous: str
) -> Plan:
    crops = worked.crops
    each, whole = outlooks(facts, crops.decisions, crops.beliefs, worked.pests.cares, crops.season)
    shut = closed(facts.plot, facts.applied, facts.now, worked.permits.cautions, visits)
    return Plan(
        schema_version=SCHEMA_VERSION,
        plot=facts.plot.name,
        as_of=facts.now,
        visits=visits,
        verdicts=verdicts_told(facts, worked, visits),
        picking=tuple(worked.clearances.values()),
        standby=worked.standby,
        populations=courses_told(worked.pests.populations, visits),
        outlook=each,
        warnings=warnings(facts, worked),
        stamp=stamp_of(facts, previous),
        frost=frost_words(facts),
        rough=facts.plot.rough,
        names=_names(facts, worked.pests.populations),
        season=season_rule(facts),
        closed=shut,
        harvest=whole,
        away=absences(facts, worked, shut),
        last_sowings=worked.last_sowings,
        bare=worked.bare,
        water=water_courses(facts, worked, visits),
        heat=heat_courses(facts, worked),
    )


def _names(facts: SeasonFacts, populations: Iterable[Population]) -> tuple[tuple[str, str], ...]:
    plot, tables = facts.plot, facts.tables
    found = {planting.key: planting.name for planting in plot.plantings}
    found |= {bed.key: bed.name for bed in plot.beds}
    found |= {label.key: label.name for label in plot.shelf}
    found |= {key: organism.name for key, organism in tables.organisms.items()}
    found |= {key: disease.name for key, disease in tables.diseases.items()}
    found |= {one.organism: one.called for one in populations if one.called}
    return tuple(sorted(found.items()))
