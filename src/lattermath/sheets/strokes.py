"""Strokes of a drawing: arrows between boxes."""

from __future__ import annotations

import math

from lattermath.sheets.hatches import Box

HEAD = 8.0  # length of an arrow's head [drawing units]
LEAST = 14.0  # shortest arrow that is seen as one
Point = tuple[float, float]


def nearest(one: Box, other: Box, aside: float = 0.0) -> tuple[Point, Point]:
    """Where an arrow from one box to another begins and ends: across the gap between them.

    aside : how far it is moved along the gap, so that two arrows do not lie on each other.
    """
    x1, x2 = _across(one.x, one.right, other.x, other.right, aside)
    y1, y2 = _across(one.y, one.bottom, other.y, other.bottom, aside)
    return _stretched((x1, y1), (x2, y2))


def _across(a1: float, a2: float, b1: float, b2: float, aside: float) -> tuple[float, float]:
    """Along one axis: from edge to edge, or near the far end of what both share, off the words."""
    if a2 <= b1:
        return a2, b1
    if b2 <= a1:
        return a1, b2
    low, high = max(a1, b1), min(a2, b2)
    at = min(max(low + 0.85 * (high - low) - aside, low), high)
    return at, at


def _stretched(begin: Point, end: Point) -> tuple[Point, Point]:
    """The same arrow, made long enough to be seen, reaching a little into both boxes."""
    (x1, y1), (x2, y2) = begin, end
    length = math.hypot(x2 - x1, y2 - y1)
    if length == 0:
        return (x1, y1 + LEAST / 2), (x2, y2 - LEAST / 2)
    more = max(LEAST - length, 8.0) / 2 / length
    dx, dy = (x2 - x1) * more, (y2 - y1) * more
    return (x1 - dx, y1 - dy), (x2 + dx, y2 + dy)


def arrow(begin: Point, end: Point) -> tuple[str, str]:
    """The paths of an arrow's line and of its head."""
    (x1, y1), (x2, y2) = begin, end
    angle = math.atan2(y2 - y1, x2 - x1)
    left, right = (
        (x2 - HEAD * math.cos(angle + turn), y2 - HEAD * math.sin(angle + turn))
        for turn in (0.45, -0.45)
    )
    line = f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"
    head = f"M{x2:.1f} {y2:.1f}L{left[0]:.1f} {left[1]:.1f}L{right[0]:.1f} {right[1]:.1f}Z"
    return line, head
