"""Re-reads a whole plan against label rows, journal, garden rules and evenings.

It knows nothing of how the plan was made: applications, past and planned, are laid on one line of
time; each closes plants and beds for a span; every task is held against those spans and against
the rows of its label. One fault is enough, and no sheet is shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.audit.beside_check import LivesOn, check_beside
from lattermath.audit.closures import closures
from lattermath.audit.course_check import check_courses, check_covers, check_turns
from lattermath.audit.figures import LEAVE_NOTHING
from lattermath.audit.ground_check import (
    check_clearances,
    check_closed,
    check_gone,
    check_plant_back,
    check_stays,
)
from lattermath.audit.leaf_check import check_leaves
from lattermath.audit.ledger import is_application, ledger, site_of, stays
from lattermath.audit.means_check import check_bagged, check_means
from lattermath.audit.spray_check import check_sprays
from lattermath.audit.time_check import check_time
from lattermath.vocabulary.errors import Fault, PlanViolates
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.plot import Plot


def audit(
    plan: Plan,
    plot: Plot,
    events: Sequence[Event],
    evenings: Sequence[Evening],
    lives_on: LivesOn | None = None,
) -> tuple[Fault, ...]:
    """Every fault of a plan; empty when it keeps all limits.

    `events` is the journal as read back, corrections and withdrawals among it; `evenings` are the
    hours that the plan was made for. What is not known counts as a fault where it matters.
    `lives_on` are the crops of each organism that was seen; without it nothing is held against
    what stands beside.
    """
    return tuple(dict.fromkeys(_faults(plan, plot, events, evenings, lives_on or {})))


def require_clean(
    plan: Plan,
    plot: Plot,
    events: Sequence[Event],
    evenings: Sequence[Evening],
    lives_on: LivesOn | None = None,
) -> Plan:
    """The plan itself when it is clean; PlanViolates with every fault when it is not."""
    faults = audit(plan, plot, events, evenings, lives_on)
    if faults:
        raise PlanViolates(faults)
    return plan


def _faults(
    plan: Plan,
    plot: Plot,
    events: Sequence[Event],
    evenings: Sequence[Evening],
    lives_on: LivesOn,
) -> Iterator[Fault]:
    site = site_of(plot)
    work = stays(plan)
    applied = ledger(plan, site, events)
    closed = closures(applied, site)
    for stay in work:
        harmless = stay.task.product is None and stay.task.method in LEAVE_NOTHING
        if is_application(stay.task) and stay.task.planting is None and not harmless:
            yield Fault("treats without saying what", stay.where)
    yield from check_sprays(applied, plan, evenings, events, site)
    yield from check_stays(work, closed, site)
    yield from check_gone(plan, site)
    yield from check_clearances(plan, closed, site)
    yield from check_closed(plan, closed, site)
    yield from check_plant_back(work, applied, site)
    yield from check_beside(plan, work, applied, events, site, lives_on)
    yield from check_turns(applied, plan, site)
    yield from check_covers(work, applied, evenings, site)
    yield from check_means(work, applied, evenings, site)
    yield from check_bagged(work, applied, site)
    yield from check_courses(plan, site)
    yield from check_time(plan, evenings, plot)
    yield from check_leaves(plan, work, events, site)
