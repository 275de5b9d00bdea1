"""A chart drawn as SVG: inline for a page, whose style sheet colours it, or as a file of its own.

Only classes and attributes: the pages' security policy allows no inline style. Every hatch is a
plain path cut to its shape, so that paper shows it sharp.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import date
from html import escape
from itertools import pairwise

from lattermath.sheets.chart import (
    Chart,
    Column,
    Course,
    Limit,
    Panel,
    Point,
    Stretch,
    Week,
    weeks_between,
)
from lattermath.sheets.hatches import Box, Hatch, hatched, pt
from lattermath.vocabulary import calendar

WIDTH = 336.0  # units; a telephone is as wide
LEFT, RIGHT = 40.0, 8.0  # gutters: numbers at the left
HEAD, FOOT = 52.0, 24.0  # words above the first panel, days below the last
NAME = 20.0  # above each panel, for its name
TALL, LOW, ROW = 92.0, 58.0, 20.0  # height of a lone panel, of one among several, of a row
HELD = 76.0  # of a panel whose numbers are held against a line
ROUND = (1, 1.5, 2, 3, 4, 5, 6, 8, 10)  # ends of an axis
LABEL_ROWS = (46.0, 30.0, 14.0)  # where the labels of days stand above the first panel
LABEL_HIGH = 14.0  # of the words at a line
LETTER = 8.6  # width of a letter 14 high, in the widest face
STRETCH_HATCHES: dict[str, Hatch] = {
    "barred": "dense",
    "filling": "upright",
    "open": "none",
    "ready": "none",
    "past": "crossed",
}
COLUMNS = {"known": "solid", "planned": "blank", "rain": "blank"}
# The colours of the day, as in look.css, for a file that stands alone.
FILE_STYLE = (
    "svg{background:#f3ecc9}"
    ".k{stroke:#13202e;fill:none}.k1{stroke-width:1}.k2{stroke-width:2}.k3{stroke-width:3}"
    ".dash{stroke-dasharray:6 4}.fine{stroke-dasharray:2 3}"
    ".hairline{stroke:#8b8462;fill:none}.blank{fill:#fff}"
    ".solid{fill:#13202e}.fan{fill:#13202e;fill-opacity:.14}.ring{fill:#fff;stroke:#13202e;"
    "stroke-width:2}.hatch{stroke:#13202e;stroke-width:1.3;fill:none}"
    ".hatch-dotted{stroke-width:2.4;stroke-linecap:round}.ground{fill:#f3ecc9}"
    ".w{fill:#13202e;font:14px 'Fira Sans',system-ui,sans-serif}.wb{font-weight:600}"
    ".mid{text-anchor:middle}.end{text-anchor:end}"
    ".halo{paint-order:stroke;stroke:#f3ecc9;stroke-width:5px;stroke-linejoin:round}"
)


def svg(chart: Chart, alone: bool = False) -> str:
    """The chart as an `svg` element; `alone`: as the text of a file, with its own style."""
    boxes, height = _boxes(chart)
    xmlns = f' xmlns="http://www.w3.org/2000/svg" width="{WIDTH:g}" height="{height:g}"'
    style = f"<style>{FILE_STYLE}</style>" if alone else ""
    name = escape(chart.key)
    parts = [
        f'<svg{xmlns if alone else ""} viewBox="0 0 {WIDTH:g} {height:g}" role="img" '
        f'aria-labelledby="{name}-t {name}-d"><title id="{name}-t">{escape(chart.title)}</title>'
        f'<desc id="{name}-d">{escape(chart.outcome)}</desc>{style}',
        *_uprights_behind(chart, boxes),
    ]
    for panel, box in zip(chart.panels, boxes, strict=True):
        parts += _panel(chart, panel, box)
    parts += [*_labels(chart, boxes), *_days(chart, boxes[-1]), "</svg>"]
    return "".join(parts)


def _boxes(chart: Chart) -> tuple[list[Box], float]:
    """Where the field of each panel stands, and how high the whole is."""
    y, found = HEAD, []
    lone = sum(panel.has_numbers for panel in chart.panels) == 1
    for panel in chart.panels:
        tall = _height(panel, lone)
        found.append(Box(LEFT if _numbered(chart) else 4.0, y + NAME, 0.0, tall))
        y += NAME + tall + 4
    wide = WIDTH - RIGHT - found[0].x
    return [Box(box.x, box.y, wide, box.height) for box in found], y + FOOT


def _height(panel: Panel, lone: bool) -> float:
    if not panel.has_numbers:
        return ROW
    return TALL if lone else HELD if panel.limits else LOW


def _numbered(chart: Chart) -> bool:
    return any(panel.has_numbers for panel in chart.panels)


def at_day(chart: Chart, box: Box, day: date, into: float = 0.0) -> float:
    """Where a day stands across a field; `into` it by a share of a day. [units]"""
    passed = (day - chart.first).days + into
    return box.x + box.width * min(max(passed / max(chart.n_days, 1), 0.0), 1.0)


def nice_top(value: float) -> float:
    """The least of the round numbers (ROUND times a power of ten) that is not below a value."""
    if value <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(n * power for n in ROUND if n * power >= value * (1 - 1e-9))


def _panel(chart: Chart, panel: Panel, box: Box) -> Iterator[str]:
    beside = sum(len(one.label) + 2 for one in panel.limits if one.at == "head") * LETTER
    yield _text(_fitted(panel.name, box.width - beside), box.x, box.y - 5, "w wb halo")
    if panel.has_numbers:
        yield from _numbers(chart, panel, box)
    else:
        yield from _row(chart, panel, box)


def _fitted(words: str, width: float) -> str:
    """Words cut where they would leave the drawing; the table has them whole."""
    room = int(width / LETTER)
    return words if len(words) <= room else words[: room - 1].rstrip() + "…"


def _numbers(chart: Chart, panel: Panel, box: Box) -> Iterator[str]:
    top = nice_top(panel.top)
    yield f'<path class="hairline" d="M{pt(box.x)} {pt(box.y)}H{pt(box.right)}"/>'
    if panel.between:
        first, last = (at_day(chart, box, day) for day in panel.between)
        band = Box(first, box.y, max(last - first, 3.0), box.height)
        yield f'<path class="hatch hatch-dotted" d="{hatched("dotted", band, 6)}"/>'
        yield f'<path class="k k1" d="{band.path}"/>'
    for column in panel.columns:
        yield from _column(chart, column, box, top)
    for course in panel.courses:
        yield from _course(chart, course, box, top)
    for limit in panel.limits:
        yield from _limit(chart, limit, box, top)
    for week in panel.weeks:
        yield from _week(chart, week, box, top)
    yield from _limit_labels(panel, box, top)
    for point in panel.points:
        yield _point(point, at_day(chart, box, point.day, 0.5), box)
    yield f'<path class="k k2" d="M{pt(box.x)} {pt(box.bottom)}H{pt(box.right)}"/>'
    yield _text(f"{top:g}", box.x - 5, box.y + 5, "w end")
    yield _text("0", box.x - 5, box.bottom + 4, "w end")


def _course(chart: Chart, course: Course, box: Box, top: float) -> Iterator[str]:
    """The band in which 8 in 10 lie, its edges, the middle, and dashed the middle without."""
    xs = [at_day(chart, box, day) for day in course.days]
    low, high, middle = (
        [(x, _at(box, v, top)) for x, v in zip(xs, row, strict=True)]
        for row in (course.low, course.high, course.middle)
    )
    yield f'<path class="fan" d="{_line(high)}L{_line(low[::-1])[1:]}Z"/>'
    yield f'<path class="k k1" d="{_line(high)}{_line(low)}"/>'
    yield f'<path class="k k3" d="{_line(middle)}"/>'
    if course.without:
        left = [(x, _at(box, v, top)) for x, v in zip(xs, course.without, strict=True)]
        yield f'<path class="k k2 dash" d="{_line(left)}"/>'


def _column(chart: Chart, column: Column, box: Box, top: float) -> Iterator[str]:
    """What came in on a day: solid where poured, open where planned, level lines for rain."""
    left, right = at_day(chart, box, column.day), at_day(chart, box, column.day, 1.0)
    y = _at(box, column.amount, top)
    field = Box(left + 0.5, y, max(right - left - 1, 3.0), box.bottom - y)
    yield f'<path class="{COLUMNS[column.look]}" d="{field.path}"/>'
    if column.look == "rain":
        yield f'<path class="hatch" d="{hatched("level", field, 3.5)}"/>'
    yield f'<path class="k k1" d="{field.path}"/>'


def _limit(chart: Chart, limit: Limit, box: Box, top: float) -> Iterator[str]:
    """A line that the numbers are held against."""
    xs = [at_day(chart, box, day) for day in limit.days]
    points = [(x, _at(box, v, top)) for x, v in zip(xs, limit.values, strict=True)]
    yield f'<path class="k k2 fine" d="{_line(points)}"/>'


def _limit_labels(panel: Panel, box: Box, top: float) -> Iterator[str]:
    """The words of lines: beside the panel's name, or over their beginning, never on another."""
    above = box.bottom + LABEL_HIGH
    for limit in sorted(panel.limits, key=lambda one: one.values[0]):
        if limit.at == "head":
            yield _text(limit.label, box.right, box.y - 5, "w end halo")
            continue
        line = _at(box, limit.values[0], top)
        above = min(line - 4, above - LABEL_HIGH)
        if above < box.y + LABEL_HIGH - 4:  # it would stand in the panel's name
            above = line + LABEL_HIGH
        yield _text(limit.label, box.x + 4, above, "w halo")


def _week(chart: Chart, week: Week, box: Box, top: float) -> Iterator[str]:
    """A known number as a solid column; one to come as a box from low to high with its middle."""
    left, right = at_day(chart, box, week.first) + 1, at_day(chart, box, week.last, 1.0) - 1
    right = max(right, left + 2)
    if week.low is None or week.high is None:
        y = _at(box, week.middle, top)
        column = Box(left, y, right - left, box.bottom - y)
        yield f'<path class="solid" d="{column.path}"/>'
        return
    y1, y2, y = (_at(box, v, top) for v in (week.high, week.low, week.middle))
    span = Box(left, y1, right - left, max(y2 - y1, 1.0))
    yield f'<path class="blank" d="{span.path}"/><path class="k k1" d="{span.path}"/>'
    yield f'<path class="k k3" d="M{pt(left)} {pt(y)}H{pt(right)}"/>'
    if week.without is not None and abs(week.without - week.middle) > top / 100:
        y = _at(box, week.without, top)
        yield f'<path class="k k2 dash" d="M{pt(left - 2)} {pt(y)}H{pt(right + 2)}"/>'


def _row(chart: Chart, panel: Panel, box: Box) -> Iterator[str]:
    yield f'<path class="hairline" d="M{pt(box.x)} {pt(box.bottom)}H{pt(box.right)}"/>'
    for stretch in panel.stretches:
        yield from _stretch(chart, stretch, box)
    for point in panel.points:
        yield _point(point, at_day(chart, box, point.day, 0.5), box)


def _stretch(chart: Chart, stretch: Stretch, box: Box) -> Iterator[str]:
    left, right = at_day(chart, box, stretch.first), at_day(chart, box, stretch.last, 1.0)
    field = Box(left, box.y + 2, max(right - left, 3.0), box.height - 4)
    kind = "solid" if stretch.look == "ready" else "blank"
    yield f'<path class="{kind}" d="{field.path}"/>'
    hatch = STRETCH_HATCHES[stretch.look]
    if hatch != "none":
        yield f'<path class="hatch" d="{hatched(hatch, field, 7)}"/>'
    yield f'<path class="k k1" d="{field.path}"/>'


def _point(point: Point, x: float, box: Box) -> str:
    """A sign in a row: a full or an open upright, a ring, or a pointer to the foot."""
    top, bottom, middle = box.y, box.bottom, box.y + box.height / 2
    if point.sign == "looked":
        return f'<circle class="ring" cx="{pt(x)}" cy="{pt(middle)}" r="5"/>'
    if point.sign == "last day":
        return f'<path class="solid" d="M{pt(x)} {pt(bottom)}l6 -11h-12z"/>'
    mark = Box(x - 3, top, 6, bottom - top)
    fill = "solid" if point.sign == "done" else "blank"
    lines = "" if point.sign == "done" else hatched("level", mark, 4)
    return (
        f'<path class="{fill}" d="{mark.path}"/><path class="hatch" d="{lines}"/>'
        f'<path class="k k1" d="{mark.path}"/>'
    )


def _uprights_behind(chart: Chart, boxes: Sequence[Box]) -> Iterator[str]:
    """Days marked through all panels; what is only planned is hatched, the frost is crosses."""
    top, bottom = boxes[0].y, boxes[-1].bottom
    for one in chart.uprights:
        x = at_day(chart, boxes[0], one.day)
        if one.sign == "today":
            yield f'<path class="k k1" d="M{pt(x)} {pt(top - NAME)}V{pt(bottom)}"/>'
        elif one.sign == "frost":
            yield f'<path class="k k2" d="{"".join(_crosses(x, top, bottom))}"/>'
        else:
            mark = Box(x - 2, top, 4, bottom - top)
            lines = hatched("level", mark, 5)
            fill = f'<path class="solid" d="{mark.path}"/>' if one.sign == "done" else ""
            yield f'{fill}<path class="hatch" d="{lines}"/>'
            yield f'<path class="k k1" d="{mark.path}"/>'


def _crosses(x: float, top: float, bottom: float) -> Iterator[str]:
    y = top
    while y < bottom:
        yield f"M{pt(x - 3)} {pt(y)}h6M{pt(x)} {pt(y - 3)}v6"
        y += 9


def _labels(chart: Chart, boxes: Sequence[Box]) -> Iterator[str]:
    """The labels of uprights above the panels, each in the lowest row where it has room."""
    ends = [0.0] * len(LABEL_ROWS)
    for one in sorted(chart.uprights, key=lambda one: (one.day, one.sign != "today")):
        if not one.label:
            continue
        half = len(one.label) * LETTER / 2
        at = min(max(at_day(chart, boxes[0], one.day), half), WIDTH - half)
        free = [n for n, end in enumerate(ends) if end + 3 <= at - half]
        row = free[0] if free else ends.index(min(ends))
        ends[row] = at + half
        bold = " wb" if one.sign == "today" else ""
        yield _text(one.label, at, LABEL_ROWS[row], f"w mid{bold}")


def _days(chart: Chart, box: Box) -> Iterator[str]:
    """Mondays as ticks, and as many days in words as have room."""
    mondays = list(weeks_between(chart.first, chart.last))
    room = 7 * LETTER + 6
    every = max(math.ceil(room / (7 * box.width / max(chart.n_days, 1))), 1)
    for n, day in enumerate(mondays):
        x = at_day(chart, box, day)
        yield f'<path class="k k1" d="M{pt(x)} {pt(box.bottom)}v{4 if n % every else 7}"/>'
        half = len(calendar.short(day)) * LETTER / 2
        if n % every == 0 and half <= x <= WIDTH - half:
            yield _text(calendar.short(day), x, box.bottom + 21, "w mid")


def _at(box: Box, value: float, top: float) -> float:
    return box.bottom - box.height * min(max(value / top, 0.0), 1.0)


def _line(points: Sequence[tuple[float, float]]) -> str:
    """From point to point by steps, which pack better than places, each between rounded points."""
    seen = [(round(x, 1), round(y, 1)) for x, y in points]
    steps = (f"l{pt(b[0] - a[0])} {pt(b[1] - a[1])}" for a, b in pairwise(seen))
    return f"M{pt(seen[0][0])} {pt(seen[0][1])}{''.join(steps)}"


def _text(words: str, x: float, y: float, kind: str) -> str:
    return f'<text class="{kind}" x="{pt(x)}" y="{pt(y)}">{escape(words)}</text>'
