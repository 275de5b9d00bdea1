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

WHEN = r" \w+ (\d+) (\w+)(?: (\d{4}))? (\d\d):(\d\d)"
KEEP_OUT, PICKING = "keep out of the bed until", "(?:safe to pick from|no picking before)"
OF_THE_CLOCK = re.compile(r"(done by|dry by about) (\d\d):(\d\d)")
HALF_A_DAY = timedelta(hours=12)
EARLIER = "says an earlier hour than its own end and label give"
ELSEWHERE = "was ruled on at another hour than it stands at"


def check_reasons(applied: Iterable[Application], site: Site) -> Iterator[Fault]:
    """Every treatment out of a pack that a plan asks for, with whatever its reasons say of hours.

    An hour may be later than its own: another label, or work still to come, may ask for more. Of
    picking it is never earlier than what the plant had before allows.
    """
    applied = list(applied)
    for a in applied:
        if a.task is None or a.label is None:
            continue
        picks = max(_picking_open(b, site) for b in applied if _not_after(b, a))
        for says in (*(reason.says for reason in a.task.because), *a.task.cautions):
            yield from _dated(says, a, picks, site)
            yield from _by_the_clock(says, a, a.label, site)


def _not_after(b: Application, a: Application) -> bool:
    """Did the same plants get it, and leave it something, no later than the other?"""
    return b.planting == a.planting and b.leaves_something and b.begins <= a.begins


def _picking_open(a: Application, site: Site) -> float:
    return max(re_entry_end(a), picking_end(a, site.zone))


def _dated(says: str, a: Application, picks: float, site: Site) -> Iterator[Fault]:
    for what, opens in ((KEEP_OUT, re_entry_end(a)), (PICKING, picks)):
        if opens == NEVER_ENDS:
            if re.search(what + WHEN, says):
                yield _fault(EARLIER, a, says)
            continue
        due = _wall(opens, site)
        if any(told < due for told in hours_told(what, says, due)):
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


def hours_told(words: str, says: str, due: datetime) -> list[datetime]:
    """The hours that stand behind some words, each in its year, else in that nearest to `due`.

    Both by the clock on the shed wall.
    """
    found = re.findall(words + WHEN, says)
    return [
        _nearest(due, (1 + MONTHS.index(month), int(day), int(hour), int(minute)), year)
        for day, month, year, hour, minute in found
    ]


def _nearest(due: datetime, told: tuple[int, int, int, int], year: str) -> datetime:
    """What is said without its year, in the year in which it lies nearest."""
    month, day, hour, minute = told
    years = [int(year)] if year else range(due.year - 1, due.year + 2)
    there = [year for year in years if day <= monthrange(year, month)[1]]
    if not there:  # no such day: as wrong as can be
        return datetime.min
    return min((datetime(y, month, day, hour, minute) for y in there), key=lambda x: abs(x - due))


def _wall(instant: float, site: Site) -> datetime:
    """The clock on the shed wall."""
    return datetime.fromtimestamp(instant, site.zone).replace(tzinfo=None)


def _fault(what: str, a: Application, says: str) -> Fault:
    return Fault(what, a.where, f"{a.planting}: {says}", "Rule on it again at its own hour.")
