"""The time zone that this machine keeps, by its name."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import available_timezones

# A machine that keeps one of these tells nothing of where it stands.
NOWHERE = frozenset({"UTC", "UCT", "GMT", "Zulu", "Universal", "localtime", "Factory"})


def local_zone(clock_file: Path = Path("/etc/localtime")) -> str:
    """The IANA name of this machine's zone; empty where it cannot be told."""
    named = os.environ.get("TZ", "").lstrip(":") or _linked(clock_file)
    known = named in available_timezones() and not named.startswith("Etc/")
    return named if known and named not in NOWHERE else ""


def _linked(clock_file: Path) -> str:
    """The name that the system's clock file is a link to."""
    try:
        _, _, name = str(clock_file.resolve()).rpartition("zoneinfo/")
    except OSError:
        return ""
    return name
