"""A plan as the audit passed it, told what each pest that was seen lives on."""

from __future__ import annotations

from lattermath.audit.plan_audit import require_clean
from lattermath.desk.living_on import crops_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan


def audited(facts: SeasonFacts, plan: Plan) -> Plan:
    """The plan itself; PlanViolates with every fault where it breaks a limit."""
    seen = {one.payload.what for one in facts.events if isinstance(one.payload, Sighting)}
    lives_on = crops_of(seen, facts.tables)
    return require_clean(plan, facts.plot, facts.events, facts.evenings, lives_on)
