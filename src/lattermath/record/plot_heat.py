"""Temperatures typed in the plot file that can hardly be in the unit they are typed in.

Asked of the tables as they are written, so that a fault shows the value as the grower typed it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Any

from lattermath.record.plot_references import Complain, Keyed

# Extremes of the earth's air, from memory: 56.7 C (1913) and -89.2 C (1983).
HOTTEST_C, COLDEST_C = 56.7, -89.2
# judgement: hot desert nights; a low above this under so high a high is more likely Fahrenheit
ASK_LOW_C, ASK_HIGH_C = 35.0, 40.0
# judgement: below 60 degrees and 2500 m no day of the warm months stays so cold, while a summer
# day's Celsius read as Fahrenheit does [C, by months after the hemisphere's December]
_COLD_DAYS_C = {5: 0.0, 6: 5.0, 7: 5.0, 8: 5.0, 9: 0.0}
_MOST_LATITUDE, _MOST_ALTITUDE_M = 60.0, 2500.0
CHECKED = "or, if it was so, write checked = true in this [[week]]."
_TO_F = 'If these are °F, write units = "us" at the top of the file, and highs_f and lows_f.'
_TO_C = "If these are °C, write highs_c and lows_c."


def check_heat(weeks: Keyed, normals: Any, place: Any, complain: Complain) -> None:
    """Complain of the first temperature of each table that can hardly be true."""
    where = place if isinstance(place, Mapping) else {}
    for key, table in weeks:
        sure = table.get("checked") is True
        for doubt in _doubts(table, _cold_limits(table, where)):
            if doubt[0] or not sure:
                complain(*_words(f"week.{key}", table, *doubt))
                break
    if isinstance(normals, Mapping):
        for doubt in _doubts(normals, [None] * 12):
            if doubt[0]:
                complain(*_words("normals", normals, *doubt))
                break


def _doubts(
    table: Mapping[str, Any], cold: list[float | None]
) -> Iterator[tuple[bool, str, int, str]]:
    """Whether it is impossible, the list and place of a value, and what is wrong with it."""
    highs, lows = _celsius(table, "highs"), _celsius(table, "lows")
    for name, values in (("highs", highs), ("lows", lows)):
        for n, value in enumerate(values):
            if value is not None and not COLDEST_C <= value <= HOTTEST_C:
                yield (
                    True,
                    name,
                    n,
                    "no air on earth was ever so " + ("hot" if value > 0 else "cold"),
                )
    for n, high in enumerate(highs):
        low = lows[n] if n < len(lows) else None
        limit = cold[n] if n < len(cold) else None
        if high is not None and low is not None and high >= ASK_HIGH_C and low > ASK_LOW_C:
            yield False, "lows", n, "nights are hardly ever so warm"
        if high is not None and limit is not None and high < limit:
            yield False, "highs", n, "days are hardly ever so cold here at this time of year"


def _words(
    where: str, table: Mapping[str, Any], impossible: bool, name: str, n: int, what: str
) -> tuple[str, str, str, str]:
    written = f"{name}_f" if f"{name}_f" in table else f"{name}_c"
    unit = "°F" if written.endswith("f") else "°C"
    other = _TO_C if unit == "°F" else _TO_F
    if impossible:
        return what, f"{where}.{written}.{n + 1}", f"{table[written][n]:g} {unit}", other
    remedy = f"{other.removesuffix('.')}; {CHECKED}"
    return what, f"{where}.{written}.{n + 1}", f"{table[written][n]:g} {unit}", remedy


def _celsius(table: Mapping[str, Any], name: str) -> list[float | None]:
    us = f"{name}_f" in table
    values = table.get(f"{name}_f" if us else f"{name}_c")
    if not isinstance(values, list):
        return []
    return [
        ((float(v) - 32) * 5 / 9 if us else float(v))
        if isinstance(v, int | float) and not isinstance(v, bool)
        else None
        for v in values
    ]


def _cold_limits(table: Mapping[str, Any], place: Mapping[str, Any]) -> list[float | None]:
    """For each day, the high below which one asks; None where anything may be."""
    first, latitude = table.get("first"), place.get("latitude")
    if not isinstance(first, date) or not isinstance(latitude, int | float):
        return []
    altitude = place.get("altitude_m", 0)
    if abs(latitude) > _MOST_LATITUDE or not isinstance(altitude, int | float):
        return []
    if altitude > _MOST_ALTITUDE_M:
        return []
    count = len(_celsius(table, "highs"))
    months = [(first + timedelta(days=n)).month for n in range(min(count, 366))]
    southern = 6 if latitude < 0 else 0
    return [_COLD_DAYS_C.get((month + southern - 1) % 12 + 1) for month in months]
