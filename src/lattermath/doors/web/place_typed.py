"""A place as it is read off a map, and whether it fits what else was typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from lattermath.record.rough_dates import read_day_of_year
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault, InputError

WHERE, ZONE, FROST = "where", "place.time_zone", "place.usual_first_frost"
_DIGITS = r"(\d{1,3}(?:[.,]\d+)?)"
_ONE = (
    rf"([nsew])?\s*([+−-])?{_DIGITS}\s*°?\s*(?:{_DIGITS}\s*['′’]\s*)?"
    rf"(?:{_DIGITS}\s*[\"″”]\s*)?([nsew])?"
)
_TWO = re.compile(rf"{_ONE}\s*[\s,;/]\s*{_ONE}")
_UNSURE = re.compile(r"[+−-]?\d+,\d+")  # one number with a comma, or two
# Zones are an hour for 15 degrees; the widest departure in use is about three hours (memory).
MOST_OFF = timedelta(hours=4)
TROPICS = 23.5  # nearer the equator a frost may come in any month, if it comes at all
FROST_MONTHS = {True: (8, 9, 10, 11, 12, 1, 2), False: (2, 3, 4, 5, 6, 7, 8)}  # north, south


def coordinates(words: str) -> tuple[float, float]:
    """Latitude and longitude in degrees from `51.5, -0.6`, `51.5 N 0.6 W`, `51°30′N 0°36′W`.

    InputError, at the blank for the place, where they cannot be read.
    """
    found = _TWO.fullmatch(words.strip().lower())
    if found is None or _UNSURE.fullmatch(words.strip()):
        raise InputError(Fault(u.NO_PLACE, WHERE, words, u.PLACE_AS))
    parts = found.groups()
    first, second = _degrees(parts[:6]), _degrees(parts[6:])
    sides = [(one[0] or one[5] or "") for one in (parts[:6], parts[6:])]
    if sides[0] in ("e", "w") or sides[1] in ("n", "s"):
        first, second = second, first
    if not (-90 <= first <= 90 and -180 <= second <= 180):
        raise InputError(Fault(u.NO_SUCH_PLACE, WHERE, words, u.PLACE_AS))
    return first, second


def _degrees(parts: tuple[str | None, ...]) -> float:
    before, sign, degrees, minutes, seconds, after = parts
    size = sum(
        float((part or "0").replace(",", ".")) / share
        for part, share in ((degrees, 1), (minutes, 60), (seconds, 3600))
    )
    minus = (sign in ("-", "−")) != ((before or after or "") in ("s", "w"))
    return round(-size if minus else size, 6)


def misfits(latitude: float, longitude: float, zone: str, frost: str) -> Iterator[Fault]:
    """What can hardly be true of a place together with its clocks and its frost; it may be."""
    try:
        offsets = [
            datetime(2026, month, 1, tzinfo=UTC).astimezone(ZoneInfo(zone)).utcoffset()
            for month in (1, 7)
        ]
    except (ValueError, OSError, KeyError):
        offsets = []
    hours = [offset for offset in offsets if offset is not None]
    if hours and min(_off(longitude, offset) for offset in hours) > MOST_OFF:
        kept = round(min(hours) / timedelta(hours=1) * 15)
        remedy = u.ZONE_REMEDY.format(zone=zone, usual=_east(kept), typed=_east(longitude))
        yield Fault(u.ZONE_AND_PLACE, WHERE, f"{longitude:g}", remedy)
    try:
        month = int(read_day_of_year(frost)[:2])
    except (ValueError, AttributeError):
        return
    if abs(latitude) > TROPICS and month not in FROST_MONTHS[latitude > 0]:
        half = u.NORTH if latitude > 0 else u.SOUTH
        yield Fault(u.FROST_AND_PLACE, FROST, frost, u.FROST_REMEDY.format(half=half))


def _off(longitude: float, offset: timedelta) -> timedelta:
    """How far the sun's time is from the clock's, the short way round."""
    apart = abs(timedelta(hours=longitude / 15) - offset)
    return min(apart, timedelta(hours=24) - apart)


def _east(degrees: float) -> str:
    return (u.EAST if degrees >= 0 else u.WEST).format(degrees=f"{abs(degrees):g}")
