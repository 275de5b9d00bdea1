"""Each application of a plan, by label, mix, row of applications and hour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.audit.hour_check import check_hours
from lattermath.audit.label_check import check_labels
from lattermath.audit.ledger import Application, Site
from lattermath.audit.mix_check import check_mixes
from lattermath.audit.reason_check import check_reasons
from lattermath.audit.repeat_check import check_repeats
from lattermath.audit.water_check import check_soil, check_watered
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.plan import Plan


def check_sprays(
    applied: list[Application],
    plan: Plan,
    evenings: Sequence[Evening],
    events: Sequence[Event],
    site: Site,
) -> Iterator[Fault]:
    """Everything that binds what is put on plants out of a pack."""
    yield from check_labels(applied, site)
    yield from check_mixes(applied, site)
    yield from check_repeats(applied)
    yield from check_hours(applied, evenings, site)
    yield from check_reasons(applied, site)
    yield from check_watered(applied, events, site)
    yield from check_soil(applied, plan, site)
