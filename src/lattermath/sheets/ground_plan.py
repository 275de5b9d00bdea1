"""Where beds and plantings lie, in metres, and the drawing of them to one scale, north at the top.

Beds lie where the plot file puts them. Where in a bed each of several plantings stands is not
written down: they share its longer side by the ground that their plants ask for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from lattermath.sheets.hatches import Box
from lattermath.vocabulary.plot import Bed, Planting, Plot

Kind = Literal["planting", "bare", "neighbour"]

MARGIN_M = 0.3  # of ground drawn round the outermost bed
WIDE, TALL = 336.0, 520.0  # most units of the drawing each way; a telephone is as wide
UNITS_PER_M = 90.0  # and no more than this, so that one small bed does not fill the page
PAPER_MM = (180.0, 200.0)  # room on A4 and Letter
PAPER_SCALES = (10, 20, 25, 50, 100, 200, 500, 1000)
ROOM_M2 = 0.4  # judgement, as for insects: ground of a plant of which nothing is known


@dataclass(frozen=True, slots=True)
class Ground:
    """A rectangle of ground: its south-west corner, and how far it runs east and north. [m]"""

    west: float
    south: float
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Spot:
    """What stands in one place. `ground` is None where nobody wrote where it is."""

    key: str
    name: str
    kind: Kind
    bed: Bed | None = None
    planting: Planting | None = None
    ground: Ground | None = None


@dataclass(frozen=True, slots=True)
class Scale:
    """From metres to the units of a drawing, whose y runs down."""

    west: float
    north: float
    units_per_m: float
    length_m: float
    width_m: float

    def box(self, ground: Ground) -> Box:
        """A rectangle of ground as the drawing has it."""
        return Box(
            (ground.west - self.west) * self.units_per_m,
            (self.north - ground.south - ground.width) * self.units_per_m,
            ground.length * self.units_per_m,
            ground.width * self.units_per_m,
        )

    @property
    def on_paper(self) -> int:
        """How many times smaller than the ground it is printed, so that it fits a leaf."""
        fits = (
            n
            for n in PAPER_SCALES
            if 1000 * self.length_m / n <= PAPER_MM[0] and 1000 * self.width_m / n <= PAPER_MM[1]
        )
        return next(fits, PAPER_SCALES[-1])


def spots_of(plot: Plot, asks: Mapping[str, float]) -> list[Spot]:
    """Every place of the plot: plantings bed by bed, bare beds, what has no bed, the neighbour's.

    asks : ground that one plant of a planting asks for, by planting. [m2]
    """
    standing = [p for p in plot.plantings if p.pulled is None]
    own = [p for p in standing if not p.neighbours_plot]
    spots = [spot for bed in plot.beds for spot in _in_bed(bed, own, asks)]
    known = {bed.key for bed in plot.beds}
    loose = [p for p in own if p.bed not in known]
    spots += [Spot(p.key, p.name, "planting", None, p, _round(p, asks)) for p in loose]
    theirs = [p for p in standing if p.neighbours_plot]
    return spots + [Spot(p.key, p.name, "neighbour", None, p, _round(p, asks)) for p in theirs]


def scale_of(spots: Iterable[Spot]) -> Scale | None:
    """The scale at which all that has a place fits; None where nothing has one."""
    placed = [spot.ground for spot in spots if spot.ground is not None]
    if not placed:
        return None
    west = min(g.west for g in placed) - MARGIN_M
    south = min(g.south for g in placed) - MARGIN_M
    length = max(g.west + g.length for g in placed) + MARGIN_M - west
    width = max(g.south + g.width for g in placed) + MARGIN_M - south
    per_m = min(WIDE / length, TALL / width, UNITS_PER_M)
    return Scale(west, south + width, per_m, length, width)


def _in_bed(bed: Bed, own: Iterable[Planting], asks: Mapping[str, float]) -> Iterator[Spot]:
    whole = Ground(bed.x_m, bed.y_m, bed.length_m, bed.width_m)
    there = [p for p in own if p.bed == bed.key]
    if not there:
        yield Spot(bed.key, bed.name, "bare", bed, None, whole)
    along = bed.length_m >= bed.width_m
    there.sort(key=lambda p: (p.x_m if along else p.y_m) or 0.0)
    takes = [_asked(p, asks) for p in there]
    begins = 0.0
    for planting, takes_m2 in zip(there, takes, strict=True):
        share = takes_m2 / sum(takes)
        ground = _part(whole, begins, share, along)
        yield Spot(planting.key, planting.name, "planting", bed, planting, ground)
        begins += share


def _part(whole: Ground, begins: float, share: float, along: bool) -> Ground:
    if along:
        east = whole.west + begins * whole.length
        return Ground(east, whole.south, share * whole.length, whole.width)
    north = whole.south + begins * whole.width
    return Ground(whole.west, north, whole.length, share * whole.width)


def _round(planting: Planting, asks: Mapping[str, float]) -> Ground | None:
    """A square round the centre that was written down."""
    if planting.x_m is None or planting.y_m is None:
        return None
    side = _asked(planting, asks) ** 0.5
    return Ground(planting.x_m - side / 2, planting.y_m - side / 2, side, side)


def _asked(planting: Planting, asks: Mapping[str, float]) -> float:
    """Ground that a planting asks for. [m2]"""
    return max(planting.plants, 1) * asks.get(planting.key, ROOM_M2)
