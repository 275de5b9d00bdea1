"""The plot drawn as SVG: inline for a page, whose style sheet colours it, or as a file of its own.

Only classes and attributes, as in `chart_drawing.py`; the grower's words are escaped here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

from lattermath.sheets import page_words as p
from lattermath.sheets.chart_drawing import FILE_STYLE

Drawing = Mapping[str, Any]  # as `plot_views` gives it
MORE_STYLE = (
    ".dots{stroke-dasharray:.1 5;stroke-linecap:round}.fine{stroke-dasharray:2 3}"
    ".hatch-level{stroke:#8b8462;stroke-width:1}.bar-edge{stroke:#13202e;stroke-width:6;fill:none}"
    ".halo-line{stroke:#f3ecc9;stroke-width:7;fill:none}"
)
XMLNS = ' xmlns="http://www.w3.org/2000/svg"'


def plot_svg(drawing: Drawing, alone: bool = False) -> str:
    """The plan as an `svg` element; `alone`: as the text of a file, with its own style."""
    wide, high = drawing["width"], drawing["height"]
    style = f"<style>{FILE_STYLE}{MORE_STYLE}</style>" if alone else ""
    title = escape(p.PLOT_TITLE.format(size=drawing["size"]))
    return "".join(
        (
            f'<svg{XMLNS if alone else ""} viewBox="0 0 {wide} {high}" '
            f'width="{drawing["paper_width"]}" height="{drawing["paper_height"]}" role="img" '
            f'aria-labelledby="plan-t plan-d"><title id="plan-t">{title}</title>'
            f'<desc id="plan-d">{escape(p.PLOT_IN_WORDS)}</desc>{style}',
            *(part for place in drawing["places"] for part in _place(place)),
            *map(_way, drawing["ways"]),
            _bar(drawing["bar"]),
            _north(drawing["north"]),
            "</svg>",
        )
    )


def swatch_svg(held: Mapping[str, Any], alone: bool = False) -> str:
    """The pattern of one state beside its word in the legend."""
    style = f"<style>{FILE_STYLE}{MORE_STYLE}</style>" if alone else ""
    size = ' width="48" height="28"' if alone else ' aria-hidden="true"'
    edge = '<path class="bar-edge" d="M4 1v26"/>' if held["barred"] else ""
    xmlns = XMLNS if alone else ""
    body = f"{_ground(held)}{_outline(held)}{edge}"
    return f'<svg{xmlns} viewBox="0 0 48 28"{size}>{style}{body}</svg>'


def way_swatch_svg(stroke: str, alone: bool = False) -> str:
    """The stroke of one organism's arrows beside its name in the legend."""
    style = f"<style>{FILE_STYLE}{MORE_STYLE}</style>" if alone else ""
    size = ' width="48" height="28"' if alone else ' aria-hidden="true"'
    xmlns = XMLNS if alone else ""
    body = f'<path class="k k2 {stroke}" d="M2 14H38"/><path class="solid" d="M46 14l-9 -5v10z"/>'
    return f'<svg{xmlns} viewBox="0 0 48 28"{size}>{style}{body}</svg>'


def _place(place: Mapping[str, Any]) -> Iterator[str]:
    box = place["box"]
    yield _ground(place)
    yield _outline(place)
    if place["barred"]:
        yield f'<path class="bar-edge" d="M{box.x + 3} {box.y}v{box.height}"/>'
    if place["back"]:
        yield f'<path class="blank" d="{place["back"].path}"/>'
    for word in place["words"]:
        bold = " wb" if word["strong"] else ""
        yield (
            f'<text class="w{bold}" x="{word["x"]:.1f}" y="{word["y"]:.1f}">'
            f"{escape(word['says'])}</text>"
        )


def _ground(held: Mapping[str, Any]) -> str:
    """The rectangle and its hatch."""
    blank = f'<path class="blank" d="{held["box"].path}"/>'
    if not held["hatch"]:
        return blank
    return f'{blank}<path class="hatch hatch-{held["hatch_kind"]}" d="{held["hatch"]}"/>'


def _outline(held: Mapping[str, Any]) -> str:
    kind = "k2 dash" if held["dashed"] else "k1" if held["thin"] else "k2"
    return f'<path class="k {kind}" d="{held["box"].path}"/>'


def _way(way: Mapping[str, Any]) -> str:
    return (
        f'<path class="halo-line" d="{way["line"]}"/>'
        f'<path class="k k2 {way["stroke"]}" d="{way["line"]}"/>'
        f'<path class="solid" d="{way["head"]}"/>'
    )


def _bar(bar: Mapping[str, Any]) -> str:
    y = bar["y"]
    return (
        f'<path class="k k2" d="M{bar["x1"]} {y - 5}v10M{bar["x1"]} {y}H{bar["x2"]}'
        f'M{bar["x2"]} {y - 5}v10M{bar["middle"]} {y - 3}v6"/>'
        f'<text class="w" x="{bar["x1"]}" y="{y + 21}">0</text>'
        f'<text class="w end" x="{bar["x2"] + 4}" y="{y + 21}">{escape(bar["says"])}</text>'
    )


def _north(north: Mapping[str, Any]) -> str:
    return (
        f'<path class="k k2" d="{north["line"]}"/><path class="solid" d="{north["head"]}"/>'
        f'<text class="w wb" x="{north["x"]}" y="{north["y"]}">{escape(p.NORTH)}</text>'
    )
