"""Which entries count: corrections take the place of what they correct, withdrawals take it out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from typing import TypeVar
from zoneinfo import ZoneInfo

from lattermath.vocabulary.events import Event, Visit, Withdrawal

P = TypeVar("P")


def effective(events: Iterable[Event], as_known: datetime | None = None) -> tuple[Event, ...]:
    """The entries that count, in the order in which they happened.

    With `as_known`, only what was recorded by then is read, so an entry corrected later counts
    as it stood. Taking back a correction takes back the whole chain: what is withdrawn is gone.
    """
    known = [e for e in events if as_known is None or e.recorded_at <= as_known]
    replaced = {event.supersedes for event in known if event.supersedes is not None}
    standing = (
        event
        for event in known
        if event.id not in replaced and not isinstance(event.payload, Withdrawal)
    )
    return tuple(sorted(standing, key=_order))


def put_right_by(event: Event, events: Iterable[Event]) -> tuple[Event, ...]:
    """The entries that a correction took the place of, one after the other, the first one first."""
    by_id = {one.id: one for one in events}
    before: list[Event] = []
    while event.supersedes is not None and event.supersedes in by_id:
        event = by_id[event.supersedes]
        before.insert(0, event)
    return tuple(before)


def end_of_day(day: date, zone: str) -> datetime:
    """The last instant of a local day, for `as_known`."""
    return datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone)) - timedelta.resolution


def of_kind(events: Iterable[Event], kind: type[P]) -> Iterator[tuple[Event, P]]:
    """Each event with a payload of that kind, and the payload."""
    for event in events:
        if isinstance(event.payload, kind):
            yield event, event.payload


def visit_day(event: Event, events: Iterable[Event]) -> date:
    """The local date an entry belongs to: that of the visit it falls in, else its own.

    A visit lasts its minutes; work past midnight belongs to the date on which it began.
    """
    for visit, payload in of_kind(events, Visit):
        ends = visit.happened_at + timedelta(minutes=payload.minutes or 0)
        if visit.happened_at <= event.happened_at <= ends:
            return visit.day
    return event.day


def _order(event: Event) -> tuple[datetime, int]:
    return event.happened_at, event.serial
