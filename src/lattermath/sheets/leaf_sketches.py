"""Leaves drawn with a known share covered, as one picture to judge severity by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Edge = Sequence[tuple[float, float]]

TITLE = "Leaves with 1, 5, 10, 25 and 50 % covered"
SAYS = (
    "Hold a leaf beside these. Judge the share of the whole leaf that is spotted or white, one "
    "side at a time; between two drawings, write the number between."
)
LABEL = "{percent} %"
TALL, WIDE, LABEL_ROOM, MARGIN = 1500, 1160, 260, 80  # of one leaf [tenths of a px]
PX = 10


@dataclass(frozen=True, slots=True)
class LeafSketch:
    """One leaf: the edge of it and of each spot, about 1 long with the stalk at 0."""

    percent: int
    outline: Edge
    spots: tuple[Edge, ...]


def sketches_svg(rows: Sequence[Sequence[LeafSketch]]) -> str:
    """The picture: a row for each kind of spots, its own leaves from little to much.

    Strokes and fills are the colour of the words around it; what lies over a leaf's edge is cut.
    """
    width = 2 * MARGIN + WIDE * max(len(row) for row in rows)
    height = 2 * MARGIN + (TALL + LABEL_ROOM) * len(rows)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width / PX:g}" height="{height / PX:g}" role="img" aria-label="{TITLE}">',
        f"<title>{TITLE}</title>",
    ]
    for r, row in enumerate(rows):
        for c, leaf in enumerate(row):
            left = MARGIN + WIDE * (c + 0.5)
            lines += _leaf(leaf, f"leaf-{r}-{c}", left, MARGIN + (TALL + LABEL_ROOM) * r)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _leaf(leaf: LeafSketch, name: str, middle: float, top: float) -> Iterator[str]:
    def path(edge: Edge) -> str:
        at = (f"{middle + x * TALL:.0f} {top + (1 - y) * TALL:.0f}" for x, y in edge)
        return f"M{' '.join(at)}Z"

    edge = path(leaf.outline)
    spots = " ".join(path(spot) for spot in leaf.spots)
    stalk = f"M{middle:.0f} {top + TALL:.0f}V{top + 0.06 * TALL:.0f}"
    yield f'<clipPath id="{name}"><path d="{edge}"/></clipPath>'
    yield f'<path d="{stalk}" fill="none" stroke="currentColor" stroke-width="{0.75 * PX:g}"/>'
    yield f'<path clip-path="url(#{name})" d="{spots}" fill="currentColor"/>'
    yield f'<path d="{edge}" fill="none" stroke="currentColor" stroke-width="{1.5 * PX:g}"/>'
    label = LABEL.format(percent=leaf.percent)
    yield (
        f'<text x="{middle:.0f}" y="{top + TALL + 18 * PX:.0f}" text-anchor="middle" '
        f'font-family="sans-serif" font-size="{15 * PX}" fill="currentColor">{label}</text>'
    )
