"""The answer to "what if" in lines for a terminal and rows for a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Span
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.supposition import Changed, Compared, WhatIf

Block = tuple[str, list[str]]  # a head and its lines


def blocks(told: WhatIf, units: Units) -> list[Block]:
    """The difference part by part: what comes off the plot, the work, what turns."""
    names = dict(told.names)
    found = [
        (w.IF_HARVEST, [compared(one, names, units) for one in told.harvest]),
        (w.IF_WORK, [compared(one, names, units) for one in told.work]),
        (w.IF_VERDICTS, list(_changes(told.verdicts))),
        (w.IF_COURSES, list(_changes(told.courses))),
        (w.IF_TASKS, list(_changes(told.tasks))),
    ]
    return [(head, lines or [w.IF_SAME]) for head, lines in found]


def text(told: WhatIf, units: Units) -> list[str]:
    """The whole answer as lines."""
    lines = [w.IF_HEAD.format(says="; ".join(told.supposed)), w.IF_NOT_WRITTEN]
    for head, says in blocks(told, units):
        lines += ["", head.upper(), *(f"   {line}" for line in says)]
    return lines


def compared(one: Compared, names: dict[str, str], units: Units) -> str:
    """One figure: as planned, as it would be, and how far apart the two are."""
    what = names.get(one.planting, one.planting) if one.planting else capital(one.what)
    was, now = _span(one.planned, units), _span(one.supposed, units)
    return w.IF_COMPARED.format(what=what, was=was, now=now, apart=_apart(one.difference, units))


def _span(span: Span, units: Units) -> str:
    ends = [figures.in_units(end, span.unit, units) for end in (span.low, span.high)]
    words = figures.coarse_range(ends[0][0], ends[1][0])
    return f"{words} {ends[0][1]}"


def _apart(span: Span, units: Units) -> str:
    ends = [figures.in_units(end, span.unit, units)[0] for end in (span.low, span.high)]
    signs = [_signed(end) for end in ends]
    if signs == ["0", "0"]:
        return w.IF_NO_DIFFERENCE
    return signs[0] if signs[0] == signs[1] else w.IF_RANGE.format(low=signs[0], high=signs[1])


def _signed(value: float) -> str:
    words = figures.coarse(value)
    if float(words) == 0:
        return "0"
    return f"+{words}" if value > 0 else words


def _changes(changes: Iterable[Changed]) -> Iterator[str]:
    for one in changes:
        yield changed(one)


def changed(one: Changed) -> str:
    """One thing that is otherwise, and when."""
    says = one.says.rstrip(".")
    if one.how == "moved":
        return w.IF_MOVED.format(says=says, was=_day(one.was), now=_day(one.day))
    if one.how == "added":
        return w.IF_ADDED.format(says=says, now=_day(one.day))
    if one.how == "dropped":
        return w.IF_DROPPED.format(says=says, was=_day(one.was))
    return f"{says}."


def _day(day: date | None) -> str:
    return "" if day is None else said(day)
