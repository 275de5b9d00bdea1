"""Leaves drawn with a known share covered, to judge severity by: our own outlines and spots."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

N_EDGE, N_SPOT_EDGE = 240, 18
GRID = 220  # points across the leaf on which the cover is measured while it is drawn
TEETH, TOOTH = 17, 0.035
# Low-discrepancy steps of the plane (powers of the plastic number), so that spots lie scattered
# and the same in every drawing.
STEP = (0.7548776662466927, 0.5698402909980532)


def leaf_outline(n_edge: int = N_EDGE) -> FloatArray:
    """Edge of a toothed, pointed leaf from stalk to tip and back, (n_edge, 2), about 1 long.

    n_edge : points of the edge.
    """
    half = n_edge // 2
    along = np.linspace(0, 1, half)
    width = 0.36 * np.sin(np.pi * along**0.8) ** 0.9
    width *= 1 - TOOTH * (1 + np.sign(np.sin(TEETH * np.pi * along)))
    right = np.stack([width, along], axis=1)
    left = np.stack([-width[::-1], along[::-1]], axis=1)
    return np.concatenate([right, left])


def leaf_spots(outline: FloatArray, share: float, number: int) -> list[FloatArray]:
    """Spots that together cover a share of the leaf, each an edge of (n_points, 2).

    outline : edge of the leaf, (n_edge, 2).
    share   : of the leaf's area to be covered; what lies over the edge counts for nothing. [0 to 1]
    number  : spots; more of them make a speckled leaf, few a blotched one.

    The places and shapes are fixed. Every point of a grid has the scale from which a spot reaches
    it; the scale that covers the share is that quantile of them.
    """
    if not 0 < share < 1 or number < 1:
        raise ValueError(f"a share between 0 and 1 and one spot or more, not {share:g}, {number}")
    middles, points = _places(outline, number), _points_within(outline)
    reached = np.full(len(points), np.inf)
    for n, middle in enumerate(middles):
        away = points - middle
        unit = _radius(n, np.arctan2(away[:, 1], away[:, 0]))
        reached = np.minimum(reached, np.hypot(away[:, 0], away[:, 1]) / unit)
    scale = float(np.quantile(reached, share))
    return [_edge(n, middle, scale) for n, middle in enumerate(middles)]


def within(points: FloatArray, outline: FloatArray) -> NDArray[np.bool_]:
    """Which points lie within an edge, by the even-odd rule, (n_points,)."""
    x, y = points[:, :1], points[:, 1:]
    ax, ay = outline[:, 0], outline[:, 1]
    bx, by = np.roll(ax, -1), np.roll(ay, -1)
    crosses = (ay > y) != (by > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = ax + (y - ay) / (by - ay) * (bx - ax)
    return np.asarray((crosses & (x < at)).sum(1) % 2 == 1)


def _places(outline: FloatArray, number: int) -> FloatArray:
    """Middles of the spots: the first of a fixed sequence that lie within the leaf."""
    low, high = outline.min(0), outline.max(0)
    steps = np.arange(1, 20 * number + 40)[:, None] * np.array(STEP)
    tried = low + (steps % 1) * (high - low)
    return np.asarray(tried[within(tried, outline)][:number])


def _points_within(outline: FloatArray) -> FloatArray:
    low, high = outline.min(0), outline.max(0)
    x, y = (np.linspace(a, b, GRID) for a, b in zip(low, high, strict=True))
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return np.asarray(points[within(points, outline)])


def _radius(n: int, angle: FloatArray) -> FloatArray:
    """A lobed edge about a middle at scale 1, another for each spot."""
    size = 0.65 + 0.7 * ((n * 0.618034) % 1)
    lobes = 1 + 0.14 * np.sin(3 * angle + n) + 0.09 * np.sin(5 * angle + 2.0 * n)
    return np.asarray(size * lobes)


def _edge(n: int, middle: FloatArray, scale: float) -> FloatArray:
    """The edge in straight pieces, pushed out by what they cut off a round one."""
    angle = np.linspace(0, 2 * np.pi, N_SPOT_EDGE, endpoint=False)
    piece = 2 * np.pi / N_SPOT_EDGE
    reach = scale * np.sqrt(piece / np.sin(piece)) * _radius(n, angle)
    return np.asarray(middle + reach[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1))
