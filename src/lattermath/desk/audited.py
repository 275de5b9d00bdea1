"""A plan as the audit passed it, told what each pest that was seen lives on."""

from __future__ import annotations

from lattermath.audit.plan_audit import require_clean
from lattermath.desk.living_on import finds_of, found_living_on
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.plan import Plan


def audited(facts: SeasonFacts, plan: Plan) -> Plan:
    """The plan itself; PlanViolates with every fault where it breaks a limit."""
    lives_on: dict[str, set[str]] = {}
    finds = finds_of(facts.events, facts.plot, facts.tables)
    for crop in facts.tables.crops:
        for what in found_living_on(finds, crop, facts.tables):
            lives_on.setdefault(what, set()).add(crop)
    held = {what: frozenset(crops) for what, crops in lives_on.items()}
    return require_clean(plan, facts.plot, facts.events, facts.evenings, held)
