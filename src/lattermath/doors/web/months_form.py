"""The usual months under /set-up: twelve highs, lows and rain totals, all of them or none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from lattermath.desk.set_up import PlotText
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Box, Placed, number_of
from lattermath.record.plot_rewriting import Change
from lattermath.record.plot_units import METRIC_NAMES
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault

TABLE, MONTHS = "normals", 12
PARTS = {"high": "highs_c", "low": "lows_c", "rain": "rain_mm"}
LABELS = {"high": u.HIGH, "low": u.LOW, "rain": u.RAIN}


def key_of(part: str, table: Mapping[str, Any], us: bool) -> str:
    """The name of one column as the file writes it, or would."""
    metric = PARTS[part]
    theirs = METRIC_NAMES[metric]
    return theirs if theirs in table or (us and metric not in table) else metric


def boxes(held: PlotText, typed: Filled | None) -> list[list[Box]]:
    """For each month its three blanks, as typed or as the file has them."""
    table = held.table(TABLE)
    columns = {part: table.get(key_of(part, table, held.us), []) for part in PARTS}
    return [
        [
            Box(
                f"{part}.{n}",
                f"{LABELS[part]}, {month}",
                values=_known(columns[part], n) if typed is None else typed.several(f"{part}.{n}"),
            )
            for part in PARTS
        ]
        for n, month in enumerate(u.MONTH_NAMES)
    ]


def _known(column: Any, n: int) -> tuple[str, ...]:
    told = column[n] if isinstance(column, list) and n < len(column) else None
    return (f"{told:.10g}" if isinstance(told, float) else str(told),) if told is not None else ()


def read(filled: Filled, held: PlotText, placed: Placed) -> list[Change]:
    """The changes a form asks for; a month that is missing is told beside its blank."""
    table = held.table(TABLE)
    lines = {part: [filled.one(f"{part}.{n}") for n in range(MONTHS)] for part in PARTS}
    if not any(any(line) for line in lines.values()):
        return [Change((TABLE,), None)] if table else []
    for name in _missing(lines):
        placed.add(name, Fault(u.MONTH_MISSING, TABLE, "", u.MONTH_MISSING_REMEDY))
    made = {
        key_of(part, table, held.us): [number_of(one) for one in line] if any(line) else None
        for part, line in lines.items()
    }
    if placed.by_name:
        return []
    return [
        Change((TABLE, key), value)
        for key, value in made.items()
        if table.get(key) != value and not (value is None and key not in table)
    ]


def _missing(lines: Mapping[str, Sequence[str]]) -> Iterator[str]:
    for part, line in lines.items():
        if part == "rain" and not any(line):
            continue
        yield from (f"{part}.{n}" for n, words in enumerate(line) if not words)


def place_fault(fault: Fault, placed: Placed) -> None:
    """Put a fault of the file beside its blank."""
    where = fault.where.partition(": ")[2].split(".")
    part = next((part for part in PARTS if where[-2:-1] and where[-2].startswith(part)), None)
    if where[0] != TABLE or part is None or not where[-1].isdecimal():
        placed.others.append(fault)
        return
    # No month stands in a [[week]] whose units a page could change beside the blank.
    remedy = u.HEAT_IMPOSSIBLE if "highs_" in fault.remedy else fault.remedy
    name = f"{part}.{int(where[-1]) - 1}"
    placed.add(name, Fault(fault.what, fault.where, fault.value, remedy))
