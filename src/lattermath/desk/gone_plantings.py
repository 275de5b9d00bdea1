"""What was sprayed and has since gone from the plot file: told with the way to settle it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from lattermath.knowledge.tables import Tables
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.season_maximum import YEAR_DAYS
from lattermath.record.read_back import gone_treated
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.plot import Bed

LOST = "is no longer in plot.toml"
PULLED = "; if it was pulled, put it back, log it as pulled, then take it out"


def gone_told(events: Iterable[Event], tables: Tables) -> Iterator[str]:
    """One sentence for each planting or bed that was sprayed within a year and is gone."""
    for name, key, day, bed in _gone(events, tables):
        yield (
            f"{name}, sprayed on {said(day)}, {LOST}: what may be the same ground or plants "
            f"stays barred by it. {_remedy(key, bed=bed)}"
        )


def gone_faults(events: Iterable[Event], tables: Tables) -> Iterator[Fault]:
    """The same as faults of the plot file."""
    for name, key, day, bed in _gone(events, tables):
        what = f"{name}, sprayed on {said(day)}, {LOST}"
        yield Fault(what, f"{'bed' if bed else 'planting'}.{key}", key, _remedy(key, bed=bed))


def _remedy(key: str, *, bed: bool) -> str:
    what = "bed" if bed else "planting"
    return f'If it has another name now, give that {what} key = "{key}"{"" if bed else PULLED}.'


def _gone(events: Iterable[Event], tables: Tables) -> Iterator[tuple[str, str, date, bool]]:
    """Name, key and day of the last spray; of hands, water and mesh nothing is told."""
    cautions = own_cautions(tables)
    entries = tuple(events)
    first = max((e.day for e in entries), default=date.max) - timedelta(days=YEAR_DAYS)
    for what, done in gone_treated(entries):
        days = [
            a.at.date()
            for a in done
            if (a.product or cautions.facts(a.method).needs_label) and a.at.date() >= first
        ]
        if days:
            yield what.name, what.key, max(days), isinstance(what, Bed)
