"""What each application closes, and for how long: plants to pickers, beds to everybody.

A closure is a half-open span of seconds; one whose end nobody knows never ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Literal

from lattermath.audit.figures import DAY, DRY_HOURS, HOUR, MORNING_HOUR, UNTIL_DRY_HOURS
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.label import ProductLabel

NEVER_ENDS = math.inf


@dataclass(frozen=True, slots=True)
class Closure:
    """`plant` closes one planting to pickers; `ground` closes a bed to everybody."""

    what: Literal["plant", "ground"]
    key: str
    begins: float
    ends: float
    by: Application

    def meets(self, begins: float, ends: float) -> bool:
        """Does a span of work touch it? Work of no length at its first instant does."""
        return begins < self.ends and self.begins < max(ends, begins + 1)


def closures(applications: Iterable[Application], site: Site) -> list[Closure]:
    """All that the applications close."""
    return [c for a in applications if a.leaves_something for c in _closed_by(a, site)]


def _closed_by(a: Application, site: Site) -> Iterator[Closure]:
    entry = re_entry_end(a)
    yield Closure("plant", a.planting, a.begins, max(entry, picking_end(a, site.zone)), a)
    if a.ground is not None:
        yield Closure("ground", a.ground, a.begins, entry, a)


def on_the_soil(label: ProductLabel) -> bool:
    """Bait and granules lie on the soil and wet nothing."""
    bait = label.active == "iron_phosphate" and label.form != "dust"
    return bait or label.form in ("bait", "granule")


def hours_to_dry(label: ProductLabel) -> float:
    """Hours until leaves are dry again."""
    return 0.0 if on_the_soil(label) else DRY_HOURS.get(label.active, UNTIL_DRY_HOURS)


def re_entry_end(a: Application) -> float:
    """When the bed opens again. [s]"""
    if a.label is None or a.label.re_entry_hours.state == "not copied":
        return NEVER_ENDS
    printed = _longer(a.label.re_entry_hours.value, a.older_hours)
    hours = UNTIL_DRY_HOURS if printed is None else printed
    return a.ends + HOUR * max(hours, hours_to_dry(a.label))


def _longer(printed: float | None, older: float | None) -> float | None:
    """The longer of what the label prints and what an older copy of it printed."""
    figures = [figure for figure in (printed, older) if figure is not None]
    return max(figures, default=None)


def picking_end(a: Application, zone: tzinfo) -> float:
    """When the pre-harvest interval is over, by hours elapsed and by the clock on the wall. [s]"""
    if a.limits is None or a.limits.pre_harvest_days.state == "not copied":
        return NEVER_ENDS
    days = _longer(a.limits.pre_harvest_days.value, a.older_days)
    if days is None:
        return _morning_after(a.ends, zone)
    return _wait_for_the_wall_clock(a.ends, days, zone)


def _wait_for_the_wall_clock(start: float, days: float, zone: tzinfo) -> float:
    """Let n x 24 h go by; where the wall clock lags behind, wait until it has caught up."""
    reading = _wall(start, zone) + timedelta(days=days)
    instant = start + days * DAY
    while (lag := reading - _wall(instant, zone)) > timedelta(0):
        instant += lag.total_seconds()
    return instant


def _morning_after(start: float, zone: tzinfo) -> float:
    instant, today = start, _wall(start, zone).date()
    while _wall(instant, zone).date() == today or _wall(instant, zone).hour < MORNING_HOUR:
        into_quarter = instant % (HOUR / 4)
        instant += HOUR / 4 - into_quarter
    return instant


def _wall(instant: float, zone: tzinfo) -> datetime:
    return datetime.fromtimestamp(instant, zone).replace(tzinfo=None)
