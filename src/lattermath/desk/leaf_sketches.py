"""The drawn leaves that a grower holds beside a real one to say how much of it is taken."""

from __future__ import annotations

from functools import cache

from lattermath.science.leaf_sketch import FloatArray, leaf_outline, leaf_spots
from lattermath.sheets.leaf_sketches import LeafSketch, sketches_svg

PERCENT = (1, 5, 10, 25, 50)
SPECKLED = (9, 26, 40, 60, 84)  # spots on each leaf of the first row
BLOTCHED = (1, 3, 4, 6, 9)  # and of the second


@cache
def leaf_sketches() -> str:
    """Five leaves with specks and five with blotches, as SVG."""
    return sketches_svg([_row(SPECKLED), _row(BLOTCHED)])


def _row(numbers: tuple[int, ...]) -> list[LeafSketch]:
    outline = leaf_outline()
    return [
        LeafSketch(
            percent,
            _edge(outline),
            tuple(_edge(spot) for spot in leaf_spots(outline, percent / 100, number)),
        )
        for percent, number in zip(PERCENT, numbers, strict=True)
    ]


def _edge(points: FloatArray) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in points)
