"""The beds of a plot file as a drawing to scale, in metres, that can be moved about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lattermath.desk.set_up import PlotText
from lattermath.record.plot_ground import PATH_M
from lattermath.record.plot_units import FOOT_M

MARGIN_M = 1.0  # of free ground about the beds, to move them into
LEAST_M = 4.0


@dataclass(frozen=True, slots=True)
class DrawnBed:
    """A bed of the drawing: its row of the form, and its south-west corner and size. [m]"""

    n: int
    name: str
    x: float
    y: float
    length: float
    width: float
    placed: bool


@dataclass(frozen=True, slots=True)
class BedPlan:
    """The drawing: beds, and the ground shown, from its south-west corner. [m]

    unit : metres in one unit of the numbers that the form has.
    """

    beds: tuple[DrawnBed, ...]
    west: float
    south: float
    wide: float
    tall: float
    unit: float


def bed_plan(held: PlotText) -> BedPlan | None:
    """The drawing of the beds that have a size; None where none has."""
    beds: list[DrawnBed] = []
    for n, row in enumerate(held.rows("bed")):
        length, width = _metres(row, "length"), _metres(row, "width")
        if not length or not width:
            continue
        x, y = _metres(row, "x"), _metres(row, "y")
        east = max((bed.x + bed.length + PATH_M for bed in beds), default=0.0)
        placed = x is not None and y is not None
        where = (east if x is None else x, 0.0 if y is None else y)
        beds.append(DrawnBed(n, str(row.get("name", "")), *where, length, width, placed))
    if not beds:
        return None
    west = min(0.0, *(bed.x for bed in beds)) - MARGIN_M
    south = min(0.0, *(bed.y for bed in beds)) - MARGIN_M
    east = max(LEAST_M, *(bed.x + bed.length for bed in beds)) + MARGIN_M
    north = max(LEAST_M, *(bed.y + bed.width for bed in beds)) + MARGIN_M
    unit = FOOT_M if held.us else 1.0
    return BedPlan(tuple(beds), west, south, east - west, north - south, unit)


def _metres(row: dict[str, Any], name: str) -> float | None:
    """A length of a row in metres, whatever unit it is written in."""
    for key, metres in ((f"{name}_m", 1.0), (f"{name}_ft", FOOT_M)):
        value = row.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            return value * metres
    return None
