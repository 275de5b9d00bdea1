"""The coming visits and the limits as an iCalendar file (RFC 5545)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from lattermath.sheets import calendar_words as c
from lattermath.sheets.calendar_items import Item
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plan import Plan

ASK_AGAIN = timedelta(hours=1)  # as often as a plan is made anew by itself


def calendar_file(plan: Plan, held: Sequence[Item], feed: bool = False) -> bytes:
    """The entries as an iCalendar file; same plan, same bytes.

    Every entry keeps its UID from plan to plan. DTSTAMP is the instant of the plan and SEQUENCE the
    serial of the last entry it read, so that a calendar takes the newer file for the newer.
    `feed`: for a program that asks again by itself; it is told how often (RFC 7986).
    Raises InputError where the calendar extra is not installed.
    """
    made = _library()
    book = made.Calendar()
    book.add("prodid", c.PRODUCT)
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    book["name"] = made.vText(plan.plot)  # `add` would not escape it
    if feed:
        book.add("last-modified", plan.as_of.astimezone(UTC))
        book["refresh-interval"] = made.vDuration(ASK_AGAIN, {"VALUE": "DURATION"})
        book["x-published-ttl"] = made.vDuration(ASK_AGAIN)
    for item in held:
        book.add_component(_event(made, plan, item))
    years = [when.year for item in held for when in (item.starts, item.ends)]
    if years:
        book.add_missing_timezones(date(min(years) - 1, 1, 1), date(max(years) + 2, 1, 1))
    return bytes(book.to_ical())


def _event(made: Any, plan: Plan, item: Item) -> Any:
    event, zone = made.Event(), plan.as_of.tzinfo
    event.add("uid", item.uid)
    event.add("dtstamp", plan.as_of.astimezone(UTC))
    event.add("sequence", plan.stamp.serial)
    event.add("summary", item.summary)
    event.add("dtstart", _local(item.starts, zone))
    event.add("dtend", _local(item.ends, zone))
    event.add("description", item.says)
    event.add("transp", "OPAQUE" if item.busy else "TRANSPARENT")
    event.add("status", "CANCELLED" if item.called_off else "CONFIRMED")
    return event


def _local(when: Any, zone: tzinfo | None) -> Any:
    """An instant on the plot's clock, or in UTC where that has no name; a day as it is."""
    if not isinstance(when, datetime):
        return when
    return when.astimezone(zone if isinstance(zone, ZoneInfo) else UTC)


def _library() -> Any:
    try:
        import icalendar
    except ImportError as missing:
        fault = Fault(c.NO_ICALENDAR, c.WHERE, "", c.NO_ICALENDAR_REMEDY)
        raise InputError(fault) from missing
    return icalendar
