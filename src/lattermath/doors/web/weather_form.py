"""The weather page under /set-up: a week's highs, lows and rain, and the weather files named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from lattermath.desk.far_weather import ANOTHER_CLIMATE
from lattermath.desk.set_up import PlotText
from lattermath.doors.web.first_form import DAYS, days_asked
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Box, Placed, number_of
from lattermath.record.plot_rewriting import Change
from lattermath.sheets import set_up_words as u
from lattermath.sheets import weather_words as y
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault
from lattermath.weather.forms.diary import SAY_UNITS

PARTS = ("high", "low", "rain")
FILES, SENT, HELD = "weather", "sent", "held"
UNITS, FORECAST, FAR = "file_units", "forecast", "sure.far"


def answers(filled: Filled) -> dict[str, Any]:
    """What the page asks about a file that is sent."""
    return {
        "units": filled.one(UNITS) or None,
        "forecast": bool(filled.one(FORECAST)),
        "far": bool(filled.one(FAR)),
    }


def is_far(fault: Fault) -> bool:
    """Whether a file is refused for where it was measured."""
    return fault.what == ANOTHER_CLIMATE


def place_files(faults: Sequence[Fault], filled: Filled, sent: bool, placed: Placed) -> None:
    """Put each fault of a weather file beside its blank, in the page's own words."""
    named = [name.strip() for name in filled.one(FILES).split(",")]
    for fault in faults:
        if SAY_UNITS.startswith(fault.remedy.partition(":")[0]) and fault.remedy:
            if UNITS not in placed.by_name:  # one answer serves every column
                placed.add(UNITS, replace(fault, remedy=y.CHOOSE_UNITS))
        elif is_far(fault):
            remedy = fault.remedy.partition("Look at")[0] + y.FAR_REMEDY
            placed.add(SENT if sent else FILES, replace(fault, remedy=remedy))
        elif sent:
            placed.add(SENT, fault)
        elif fault.where == FILES or fault.where.partition(":")[0] in named:
            placed.add(FILES, fault)
        else:
            placed.others.append(fault)


def keys_of(us: bool) -> tuple[str, str, str]:
    """The names of the three lists in the file."""
    return ("highs_f", "lows_f", "rain_in") if us else ("highs_c", "lows_c", "rain_mm")


def boxes(held: PlotText, today: date, typed: Filled | None) -> list[list[Box]]:
    """For each day asked for its three blanks, as typed or as the file has them."""
    known = dict(_known(held)) if typed is None else {}
    made = []
    for n, day in enumerate(days_asked(today)):
        words = {
            part: typed.several(f"{part}.{n}") if typed else known.get((day, part), ())
            for part in PARTS
        }
        labels = {"high": u.HIGH, "low": u.LOW, "rain": u.RAIN}
        made.append(
            [
                Box(f"{part}.{n}", f"{labels[part]}, {said(day)}", values=words[part])
                for part in PARTS
            ]
        )
    return made


def _known(held: PlotText) -> Iterator[tuple[tuple[date, str], tuple[str, ...]]]:
    for week in held.rows("week"):
        first = week.get("first")
        if not isinstance(first, date):
            continue
        for part, key in zip(PARTS, _keys_in(week, held.us), strict=True):
            values = week.get(key, [])
            for n, value in enumerate(values if isinstance(values, list) else []):
                if value != "?":
                    yield (first + timedelta(days=n), part), (f"{value:g}",)


def _keys_in(week: Mapping[str, Any], us: bool) -> tuple[str, str, str]:
    """The names that a week is written with."""
    return keys_of("highs_f" in week or (us and "highs_c" not in week))


def read(
    filled: Filled, held: PlotText, today: date, placed: Placed, with_file: bool = False
) -> tuple[list[Change], int]:
    """The changes a form asks for, and the line of its first day."""
    changes = list(_files(filled, held))
    if filled.one(FAR) and not held.table("place").get("far_weather"):
        changes.append(Change(("place", "far_weather"), True))
    lines = [[filled.one(f"{part}.{n}") for part in PARTS] for n in range(DAYS)]
    told = [n for n, line in enumerate(lines) if any(line)]
    if not told:
        if not (changes or with_file):
            placed.add("high.3", Fault(u.NO_WEEK, "week", "", u.NO_WEEK_REMEDY))
        return changes, 0
    rows = held.rows("week")
    last = rows[-1] if rows else {}
    keys = _keys_in(last, held.us)
    kept = lines[told[0] : told[-1] + 1]
    week: dict[str, Any] = {"first": days_asked(today)[told[0]]}
    for at, key in enumerate(keys):
        values = [number_of(line[at]) if line[at] else "?" for line in kept]
        week[key] = values if at < 2 or any(line[2] for line in kept) else None
    week["checked"] = True if filled.one("sure.week") else None
    if not rows:
        table = {key: value for key, value in week.items() if value is not None}
        return [*changes, Change(("week", 0), table)], told[0]
    at = len(rows) - 1
    changes += [
        Change(("week", at, key), value)
        for key, value in week.items()
        if last.get(key) != value and not (value is None and key not in last)
    ]
    return changes, told[0]


def _files(filled: Filled, held: PlotText) -> Iterator[Change]:
    named = [name.strip() for name in filled.one(FILES).split(",") if name.strip()]
    if named != list(held.document.get(FILES, [])):
        yield Change((FILES,), named or None)


def place_fault(fault: Fault, first: int, placed: Placed) -> bool:
    """Put a fault of the file beside its blank; whether it is only asked about."""
    where = fault.where.partition(": ")[2].split(".")
    if where[0] in (FILES, "weather"):
        placed.add(FILES, fault)
        return False
    if where[0] == "week" and len(where) == 4:
        kind = "rain" if where[2].startswith("rain") else where[2].partition("s_")[0]
        asked = "checked = true" in fault.remedy
        remedy = fault.remedy
        if "highs_" in remedy or asked:
            remedy = u.HEAT_REMEDY if asked else u.HEAT_IMPOSSIBLE
        at = f"{kind}.{first + int(where[3]) - 1}"
        placed.add(at, Fault(fault.what, fault.where, fault.value, remedy))
        return asked
    placed.others.append(fault)
    return False
