"""Hatches as plain paths cut to their rectangle: patterns that print sharp and need no colour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Hatch = Literal["slanted", "crossed", "dense", "dotted", "upright", "level", "none"]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of a drawing: its upper left corner, width and height, in drawing units."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.y + self.height

    def meets(self, other: Box) -> bool:
        """Whether both cover some of the same paper."""
        beside = self.right <= other.x or other.right <= self.x
        return not beside and self.y < other.bottom and other.y < self.bottom

    @property
    def path(self) -> str:
        """Its outline."""
        return f"M{pt(self.x)} {pt(self.y)}H{pt(self.right)}V{pt(self.bottom)}H{pt(self.x)}Z"


def hatched(hatch: Hatch, box: Box, step: float = 8.0) -> str:
    """The path that fills a rectangle with a hatch; empty for a hatch of none.

    step : distance between lines or dots. [drawing units]
    """
    return "".join(_STROKES[hatch](box, step))


def _none(_: Box, __: float) -> Iterator[str]:
    return iter(())


def _slanted(box: Box, step: float) -> Iterator[str]:
    """Lines that rise to the right, 45 degrees, cut where they leave the box."""
    reach = step / 2
    while reach < box.width + box.height:
        x1, y1 = box.x + max(reach - box.height, 0.0), box.y + min(reach, box.height)
        x2, y2 = box.x + min(reach, box.width), box.y + max(reach - box.width, 0.0)
        yield _line(x1, y1, x2, y2)
        reach += step


def _falling(box: Box, step: float) -> Iterator[str]:
    reach = step / 2
    while reach < box.width + box.height:
        x1, y1 = box.x + max(reach - box.height, 0.0), box.bottom - min(reach, box.height)
        x2, y2 = box.x + min(reach, box.width), box.bottom - max(reach - box.width, 0.0)
        yield _line(x1, y1, x2, y2)
        reach += step


def _crossed(box: Box, step: float) -> Iterator[str]:
    yield from _slanted(box, step)
    yield from _falling(box, step)


def _dense(box: Box, step: float) -> Iterator[str]:
    yield from _falling(box, step / 2)


def _dotted(box: Box, step: float) -> Iterator[str]:
    """Round dots in staggered rows: strokes of no length, drawn with round ends."""
    y, odd = box.y + step / 2, False
    while y < box.bottom - 1:
        x = box.x + (step if odd else step / 2)
        while x < box.right - 1:
            yield f"M{pt(x)} {pt(y)}h0"
            x += step
        y, odd = y + step / 2, not odd


def _upright(box: Box, step: float) -> Iterator[str]:
    x = box.x + step / 2
    while x < box.right:
        yield _line(x, box.y, x, box.bottom)
        x += step


def _level(box: Box, step: float) -> Iterator[str]:
    y = box.y + step / 2
    while y < box.bottom:
        yield _line(box.x, y, box.right, y)
        y += step


_STROKES = {
    "none": _none,
    "slanted": _slanted,
    "crossed": _crossed,
    "dense": _dense,
    "dotted": _dotted,
    "upright": _upright,
    "level": _level,
}


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return f"M{pt(x1)} {pt(y1)}L{pt(x2)} {pt(y2)}"


def pt(value: float) -> str:
    """A number of a drawing: one decimal, none where it is whole."""
    return f"{value:.1f}".removesuffix(".0")
