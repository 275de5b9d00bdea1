"""The only clock, and the only maker of entry ids."""

from __future__ import annotations

import os
import time
from datetime import UTC, date, datetime, timedelta
from datetime import time as hour
from zoneinfo import ZoneInfo


def now() -> datetime:
    """Give the present instant. [UTC, aware]"""
    return datetime.now(UTC)


def random_bytes(count: int) -> bytes:
    """Give bytes for a new entry id."""
    return os.urandom(count)


def milliseconds() -> int:
    """Give milliseconds since 1970, for a time-ordered id."""
    return time.time_ns() // 1_000_000


def planning_instant(on: date | None, zone: str, arrive: hour) -> datetime:
    """Give the instant a plan is made for: now, or one hour before arrival on a named day."""
    local = ZoneInfo(zone)
    if on is None:
        return now().astimezone(local)
    return datetime.combine(on, arrive, tzinfo=local) - timedelta(hours=1)


def running_seconds() -> float:
    """Give seconds by a clock that nobody sets, for what lapses while the program runs."""
    return time.monotonic()
