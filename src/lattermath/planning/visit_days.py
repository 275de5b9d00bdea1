"""Which visits are coming, and the hours each leaves for work."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lattermath.vocabulary.plot import GardenRules, Visiting, Weekday

WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def is_away(visiting: Visiting, day: date) -> bool:
    """Tell whether the holder has said they cannot come that day."""
    return any(first <= day <= last for first, last in visiting.away)


def coming_visits(visiting: Visiting, now: datetime, until: date) -> list[date]:
    """Give the visit days from now to `until`; today counts until the work could not be done."""
    wanted = {WEEKDAYS.index(day) for day in visiting.days}
    first = now.date()
    late = now.timetz().replace(tzinfo=None) > _plus(visiting.arrive, visiting.minutes)
    days = (first + timedelta(days=k) for k in range((until - first).days + 1))
    return [
        day
        for day in days
        if day.weekday() in wanted and not is_away(visiting, day) and not (late and day == first)
    ]


def hours_of(
    visiting: Visiting, rules: GardenRules, day: date, zone: str
) -> tuple[datetime, datetime]:
    """Give arrival and leaving by the plot's clock, inside the gate's hours."""
    local = ZoneInfo(zone)
    arrive = datetime.combine(day, visiting.arrive, tzinfo=local)
    leave = arrive + timedelta(minutes=visiting.minutes + PAUSE_MINUTES)
    if rules.gate_opens is not None:
        arrive = max(arrive, datetime.combine(day, rules.gate_opens, tzinfo=local))
    if rules.gate_closes is not None:
        leave = min(leave, datetime.combine(day, rules.gate_closes, tzinfo=local))
    return arrive, max(arrive, leave)


PAUSE_MINUTES = 25  # judgement: walking, washing and talking over the fence, beside the work


def _plus(start: time, minutes: int) -> time:
    """Add minutes to a time of day, stopping at midnight."""
    total = min(start.hour * 60 + start.minute + minutes, 24 * 60 - 1)
    return time(total // 60, total % 60)
