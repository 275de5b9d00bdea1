"""Days and hours in words, the same on every platform and in every locale."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

FAR_DAYS = 200  # judgement: further off, a day is taken for the nearer one of its name
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
LONG_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def said(day: date) -> str:
    """Say a day: `Sat 9 Aug`."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def short(day: date) -> str:
    """Say a day without its weekday: `9 Aug`."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def weekday(day: date) -> str:
    """Say the day of the week in full."""
    return LONG_WEEKDAYS[day.weekday()]


def said_with_hour(when: datetime, since: date | None = None) -> str:
    """Say an instant by its own clock: `Thu 7 Aug 20:00`.

    since : the day on which it is said; an instant of another year is given its year, and so is
            one further off than 200 days.
    """
    return f"{said(when)}{_year(when, since)} {when:%H:%M}"


def said_opening(when: datetime, since: date | None = None) -> str:
    """Say an instant from which something is open: where it is a day's beginning, the day alone."""
    if (when.hour, when.minute) == (0, 0):
        return f"{said(when)}{_year(when, since)}"
    return said_with_hour(when, since)


def _year(when: datetime, since: date | None) -> str:
    if since is None:
        return ""
    far = when.year != since.year or abs((when.date() - since).days) > FAR_DAYS
    return f" {when.year}" if far else ""


def whole_minute(when: datetime) -> datetime:
    """The minute that has begun counts: what is said of a limit is never a second too early."""
    begun = when.replace(second=0, microsecond=0)
    if begun == when:
        return when
    return (begun.astimezone(UTC) + timedelta(minutes=1)).astimezone(when.tzinfo)


def monday_of(day: date) -> date:
    """Give the Monday of the week a day lies in."""
    return day - timedelta(days=day.weekday())
