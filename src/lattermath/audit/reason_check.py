"""The hours that stand in the reasons of a treatment, against the hour at which it stands.

A reader who turns the sheet over must not find an earlier hour there than its front gives; and
what was ruled on at another hour was ruled on by another light, other bees and other heat.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from lattermath.audit.closures import NEVER_ENDS, hours_to_dry, picking_end, re_entry_end
from lattermath.audit.figures import HOUR
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.calendar import MONTHS
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.label import ProductLabel

DATED = re.compile(r"(safe to pick from|keep out of the bed until) \w+ (\d+) (\w+) (\d\d):(\d\d)")
OF_THE_CLOCK = re.compile(r"(done by|dry by about) (\d\d):(\d\d)")
HALF_A_DAY = timedelta(hours=12)
EARLIER = "says an earlier hour than its own end and label give"
ELSEWHERE = "was ruled on at another hour than it stands at"


def check_reasons(applied: Iterable[Application], site: Site) -> Iterator[Fault]:
    """Every treatment out of a pack that a plan asks for, with whatever its reasons say of hours.

    An hour may be later than its own: another treatment, or another label, may ask for more.
    """
    for a in applied:
        if a.task is None or a.label is None:
            continue
        for reason in a.task.because:
            yield from _dated(reason.says, a, site)
            yield from _by_the_clock(reason.says, a, a.label, site)


def _dated(says: str, a: Application, site: Site) -> Iterator[Fault]:
    for what, day, month, hour, minute in DATED.findall(says):
        opens = re_entry_end(a)
        if what.startswith("safe"):
            opens = max(opens, picking_end(a, site.zone))
        if opens == NEVER_ENDS:
            yield _fault(EARLIER, a, says)
            continue
        due = _wall(opens, site)
        told = _nearest(due, 1 + MONTHS.index(month), int(day), int(hour), int(minute))
        if told < due:
            yield _fault(EARLIER, a, says)


def _by_the_clock(says: str, a: Application, label: ProductLabel, site: Site) -> Iterator[Fault]:
    for what, hour, minute in OF_THE_CLOCK.findall(says):
        wet = HOUR * hours_to_dry(label) if what.startswith("dry") else 0.0
        due = _wall(a.ends + wet, site)
        told = due.replace(hour=int(hour), minute=int(minute), second=0, microsecond=0)
        if told - due > HALF_A_DAY:
            told -= 2 * HALF_A_DAY
        elif due - told > HALF_A_DAY:
            told += 2 * HALF_A_DAY
        if told < due:
            yield _fault(EARLIER, a, says)
        elif what == "done by" and told - due >= timedelta(minutes=1):
            yield _fault(ELSEWHERE, a, says)


def _nearest(due: datetime, month: int, day: int, hour: int, minute: int) -> datetime:
    """What is said without its year, in the year in which it lies nearest."""
    years = range(due.year - 1, due.year + 2)
    there = [year for year in years if day <= monthrange(year, month)[1]]
    return min((datetime(y, month, day, hour, minute) for y in there), key=lambda x: abs(x - due))


def _wall(instant: float, site: Site) -> datetime:
    """The clock on the shed wall."""
    return datetime.fromtimestamp(instant, site.zone).replace(tzinfo=None)


def _fault(what: str, a: Application, says: str) -> Fault:
    return Fault(what, a.where, f"{a.planting}: {says}", "Rule on it again at its own hour.")
