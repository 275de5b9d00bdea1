"""The sun by the plot's own clock."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lattermath.science.sun import CIVIL_ZENITH, J2000_ORDINAL, sun_times


@dataclass(frozen=True, slots=True)
class SunClock:
    """Local times of one day, to the second; None where the sun does not cross the angle."""

    civil_dawn: datetime | None
    sunrise: datetime | None
    sunset: datetime | None
    civil_dusk: datetime | None
    daylength_h: float


def sun_on(day: date, latitude: float, longitude: float, zone: str) -> SunClock:
    """Give the sun's times on a local day. Degrees north and east; `zone` an IANA name."""
    since = day.toordinal() - J2000_ORDINAL
    sun = sun_times(since, latitude, longitude)
    civil = sun_times(since, latitude, longitude, CIVIL_ZENITH)

    def local(hours: float) -> datetime | None:
        if math.isnan(hours):
            return None
        midnight = datetime.combine(day, time(), tzinfo=UTC)
        return (midnight + timedelta(seconds=round(hours * 3600))).astimezone(ZoneInfo(zone))

    return SunClock(
        local(float(civil.rise)),
        local(float(sun.rise)),
        local(float(sun.set)),
        local(float(civil.set)),
        float(sun.hours_up),
    )
