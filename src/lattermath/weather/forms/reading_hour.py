"""To which day a reading of the past 24 hours belongs."""

from __future__ import annotations

from datetime import date, time, timedelta

from lattermath.weather.days import Field

# judgement: the maximum comes about 15:00, so a thermometer read and reset before 14:00 shows the
# day before; of rain read before noon more than half of the 24 hours lie on the day before.
_MAXIMUM_BY = time(14, 0)
_RAIN_BY = time(12, 0)


def owner_day(day: date, hour: time | None, name: Field) -> date:
    """The day on which a value read at `hour` of `day` mostly happened; no hour: the day itself."""
    latest = {"t_max": _MAXIMUM_BY, "rain_mm": _RAIN_BY}.get(name)
    if hour is None or latest is None or not time(0, 0) < hour < latest:
        return day
    return day - timedelta(days=1)


def shift_mark(hour: time) -> str:
    """The mark a moved value carries."""
    return f"shifted from {hour:%H:%M} reading"
