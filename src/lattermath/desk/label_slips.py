"""Slips of the pen in a label that is being copied: told with what is usual, never mended.

The label in hand outranks the tables; what is asked about here is taken as soon as the grower
says that the label really says so.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lattermath.desk.wiring import folder_at, tables_of
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.measure import roughly

TIMES = 10.0  # judgement: a slip of one place of figures
HOURS_A_DAY = 24
# Re-entry intervals that labels print [h], from memory; waits before picking are printed in days.
RE_ENTRY_H = (4, 12, 24, 48, 72)
HOTTEST_LABEL_C = 40.0  # judgement: labels bar heat from about 27 to 35 C; above this it may be F
COLDEST_LABEL_F = 45.0  # judgement: below this a figure in F is more likely one in C
MOST_WIND_M_S = 10.0  # judgement: labels bar spraying from about 3 to 7 m/s
# What the words of a label call each unit, and the unit of each of our lines.
_UNITS = {
    **dict.fromkeys(("day", "days", "d"), "days"),
    **dict.fromkeys(("hour", "hours", "hr", "hrs", "h"), "hours"),
    "c": "°C",
    "f": "°F",
    "mph": "mph",
    "km/h": "km/h",
    "m/s": "m/s",
}
_LINES = {
    "pre_harvest_days": "days",
    "retreat_days": "days",
    "plant_back_days": "days",
    "sulfur_oil_gap_days": "days",
    "re_entry_hours": "hours",
    "rain_free_hours": "hours",
    "max_temperature_c": "°C",
    "max_temperature_f": "°F",
    "max_wind_m_s": "m/s",
    "max_wind_mph": "mph",
}


_NUMBER = r"\d+(?:[.,]\d+)?"
_SPANS = re.compile(
    rf"(?:(?P<from>{_NUMBER})\s*(?:to|-|–)\s*)?(?P<number>{_NUMBER})\s*(?:°\s*)?"
    r"(?P<unit>days?|d|hours?|hrs?|h|c|f|mph|km/h|m/s)\b"
)
# What one of each unit is of the other, as a factor and what is added; F to C and back last.
_TURNED: Mapping[tuple[str, str], tuple[float, float]] = {
    ("days", "hours"): (24.0, 0.0),
    ("hours", "days"): (1 / 24, 0.0),
    ("mph", "m/s"): (0.44704, 0.0),
    ("m/s", "mph"): (1 / 0.44704, 0.0),
    ("km/h", "m/s"): (1 / 3.6, 0.0),
    ("km/h", "mph"): (0.621371, 0.0),
    ("°F", "°C"): (5 / 9, -160 / 9),
    ("°C", "°F"): (9 / 5, 32.0),
}
_TIMES_SAID = re.compile(rf"(?P<number>{_NUMBER})\s*(?:times|treatments?|applications?|sprays?)\b")
_RATE_SAID = re.compile(rf"(?P<number>{_NUMBER})\s*(?:ml|g)\s*(?:per|/|in|to)\s*(?:a|1)?\s*l")
SAME = 0.05  # judgement: of the number; what is turned into another unit is rounded on labels


@dataclass(frozen=True, slots=True)
class LineTyped:
    """One line as it was typed: its number, in the unit of its key, and the label's own words.

    crop : crop id; empty for a line of the whole product.
    """

    name: str  # the blank it came from
    key: str
    value: float
    words: str = ""
    crop: str = ""


@dataclass(frozen=True, slots=True)
class Slip:
    """What is asked about one line: what was typed, what is usual, and from where."""

    name: str
    what: str
    value: str
    usual: str


def label_slips(path: Path | str, active: str, lines: Sequence[LineTyped]) -> list[Slip]:
    """Every line that can hardly be meant as it was typed; at most one slip a line."""
    tables = tables_of(folder_at(path))
    found: dict[str, Slip] = {}
    asked = (_other_units(lines), _swapped(lines), _other_numbers(lines))
    for slip in (*itertools.chain(*asked), *_far_off(tables, active, lines)):
        found.setdefault(slip.name, slip)
    return list(found.values())


def _other_units(lines: Sequence[LineTyped]) -> Iterator[Slip]:
    """The label's own words give the same number in another unit; or no such unit is likely."""
    for line in lines:
        ours = _LINES.get(line.key, "")
        said = [
            _UNITS[found["unit"]]
            for found in _SPANS.finditer(line.words.lower())
            if float(found["number"].replace(",", ".")) == line.value
        ]
        typed = f"{line.value:g} {ours}".strip()
        if said and ours and ours not in said:
            yield Slip(
                line.name,
                f"the words you copied say {said[0]}, and this line is in {ours}",
                typed,
                f"Turn {line.value:g} {said[0]} into {ours}.",
            )
        elif (line.key == "max_temperature_c" and line.value > HOTTEST_LABEL_C) or (
            line.key == "max_temperature_f" and line.value < COLDEST_LABEL_F
        ):
            other = "°F" if ours == "°C" else "°C"
            yield Slip(
                line.name,
                f"is this {other}?",
                typed,
                "Labels bar heat from about 27 to 35 °C, 80 to 95 °F (judgement).",
            )
        elif line.key == "max_wind_m_s" and line.value > MOST_WIND_M_S:
            usual = "Labels bar wind from about 3 to 7 m/s, 7 to 15 mph, 10 to 25 km/h (judgement)."
            yield Slip(line.name, "is this mph or km/h?", typed, usual)


def _other_numbers(lines: Sequence[LineTyped]) -> Iterator[Slip]:
    """The label's own words give a number of this kind, and the line another."""
    for line in lines:
        said = list(_numbers_said(line))
        if said and not any(abs(one - line.value) <= SAME * max(abs(one), 1.0) for one in said):
            unit = _LINES.get(line.key, "")
            words = " and ".join(roughly(one, 3) for one in dict.fromkeys(said))
            yield Slip(
                line.name,
                f"the words you copied say {words} {unit}".strip(),
                f"{line.value:g} {unit}".strip(),
                "One of the two is a slip: look at the label again.",
            )


def _numbers_said(line: LineTyped) -> Iterator[float]:
    """What the words of a line give, in the unit of the line."""
    words, ours = line.words.lower(), _LINES.get(line.key, "")
    if line.key in ("season_max", "rate_ml_per_l"):
        form = _TIMES_SAID if line.key == "season_max" else _RATE_SAID
        yield from (float(one["number"].replace(",", ".")) for one in form.finditer(words))
        return
    for found in _SPANS.finditer(words):
        unit = _UNITS[found["unit"]]
        factor, more = (1.0, 0.0) if unit == ours else _TURNED.get((unit, ours), (0.0, 0.0))
        for number in (found["from"], found["number"]):
            if number and factor:
                yield float(number.replace(",", ".")) * factor + more


def _swapped(lines: Sequence[LineTyped]) -> Iterator[Slip]:
    """The wait before picking and the re-entry, one in the place of the other."""
    re_entry = next((line for line in lines if line.key == "re_entry_hours"), None)
    if re_entry is None:
        return
    for line in lines:
        looks_so = line.value in RE_ENTRY_H and line.value > HOURS_A_DAY / 2
        if (
            line.key == "pre_harvest_days"
            and looks_so
            and 0 < re_entry.value < line.value
            and re_entry.value not in RE_ENTRY_H
        ):
            usual = (
                "Re-entry is printed in hours, most often 4, 12, 24, 48 or 72; the wait before "
                "picking in days (memory)."
            )
            days, hours = counted(line.value, "days"), counted(re_entry.value, "hours")
            value = f"{days} before picking, {hours} to stay out"
            for name in (line.name, re_entry.name):
                what = "were the wait before picking and the re-entry exchanged?"
                yield Slip(name, what, value, usual)


def _far_off(tables: Tables, active: str, lines: Sequence[LineTyped]) -> Iterator[Slip]:
    """Ten times what the tables know of this active ingredient, or a tenth of it."""
    method = tables.methods.get(tables.crosswalk.method(active) or "")
    if method is None:
        return
    for line in lines:
        words = tables.crosswalk.hosts_of(line.crop)
        usual: Mapping[str, Figure | None] = {
            "re_entry_hours": method.re_entry_hours,
            "pre_harvest_days": method.pre_harvest((line.crop, *words)),
            "retreat_days": method.retreat_days,
            "season_max": method.season_max,
        }
        figure = usual.get(line.key)
        if figure is None or line.value <= 0:
            continue
        low, high = figure.span
        if max(high, 1.0) * TIMES > line.value and line.value * TIMES > low:
            continue
        many = "ten times what is usual, or more" if line.value > high else "a tenth or less"
        between = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        unit = _LINES.get(line.key, "times")
        yield Slip(
            line.name,
            f"this is {many}",
            f"{line.value:g} {unit}",
            f"For {method.name} it is usually {between} {unit} ({figure.origin.standing}).",
        )
