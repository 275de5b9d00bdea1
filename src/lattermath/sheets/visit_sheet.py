"""The front of the sheet as plain text, to be read at the plot."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.sheets.front import Front, Row, Section, front
from lattermath.vocabulary import calendar
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import Plan

GAP = "   "  # between the facts of the head line
MINUTES_ROOM = 8  # columns kept free at the right for the minutes
INDENT = "   "
DECIDED_INDENT = " " * 10


def text_sheet(plan: Plan, plot_name: str, units: Units = "metric", width: int = 78) -> str:
    """The sheet for the first visit of a plan, no line longer than `width` columns.

    One line feed at the end; the order and the voice are those of a visit: what to do on
    arrival first, the spray last, then what is barred, left, decided and coming.
    """
    held = front(plan, plot_name, units)
    if held is None:
        return f"{plot_name.upper()}\n{w.NO_VISIT}\n"
    lines = [*_head(held, width)]
    for section in held.sections:
        lines += _section(section, width)
    if not any(section.rows for section in held.sections):
        lines.append(w.NOTHING_ELSE if held.warning else w.NOTHING_TO_DO)
    lines += _below(held, width)
    return "\n".join(_turn_over(lines, width)) + "\n"


def _head(held: Front, width: int) -> Iterable[str]:
    day = calendar.said(held.day).upper()
    work = counted(held.minutes, w.MINUTES_WORK, w.MINUTE_WORK)
    sun = f", {w.SUNSET.format(hour=held.sunset)}" if held.sunset else ""
    facts = [held.plot.upper(), f"{day} {held.arrive}", work + sun]
    facts += [held.weather] if held.weather and not held.since else []
    yield from _packed(facts, width)
    if held.since:  # the first line under the heading, whatever else there is to say
        yield from hung(held.since, width, "", INDENT)
        yield from hung(held.weather, width, "", INDENT) if held.weather else ()
    if held.warning:
        yield from hung(held.warning, width, "", INDENT)
    if held.short:
        yield from hung(f"{w.SHORT.upper()}  {held.short}", width, "", INDENT)
    if held.bag:
        yield from hung(f"{w.BAG.upper()} {held.bag}.", width, "", INDENT)


def _packed(facts: list[str], width: int) -> Iterable[str]:
    """The facts on as few lines as hold them; all lines but the first are set in."""
    lines = [facts[0]]
    for fact in facts[1:]:
        joined = f"{lines[-1]}{GAP}{fact}"
        if len(joined) + (len(INDENT) if len(lines) > 1 else 0) <= width:
            lines[-1] = joined
        else:
            lines.append(fact)
    for place, line in enumerate(lines):
        yield from _kept(line, width, INDENT if place else "")


def _kept(line: str, width: int, lead: str) -> list[str]:
    return [lead + line] if len(lead + line) <= width else hung(line, width, lead, INDENT)


def _section(section: Section, width: int) -> Iterable[str]:
    note = f"  ({section.note})" if section.note else ""
    hours = f"   {section.hours}" if section.hours else ""
    yield f"{section.head.upper()}{note}{hours}"
    if section.cautions:
        says = f"{w.FOR_EACH} {' '.join(section.cautions)}"
        yield from hung(says, width - MINUTES_ROOM, INDENT, INDENT)
    for row in section.rows:
        yield from _row(row, width)
    for bar in section.bars:
        says = f"{w.NOT.upper()} {bar.name}: {bar.says}"
        yield from hung(says, width - MINUTES_ROOM, INDENT, INDENT)


def _row(row: Row, width: int) -> Iterable[str]:
    says = " ".join([row.says, *row.cautions])
    first, *rest = hung(says, width - MINUTES_ROOM, f"{row.number:2d} ", INDENT)
    minutes = w.MINUTES.format(minutes=row.minutes)
    yield first.ljust(width - len(minutes)) + minutes
    yield from rest


def _below(held: Front, width: int) -> Iterable[str]:
    if held.not_today:
        yield w.NOT_TODAY.upper()
    for says in held.not_today:
        yield from hung(says, width, INDENT, INDENT)
    if held.water_left:
        yield from hung(f"{w.WATER_LEFT.upper()} {held.water_left}", width, "", INDENT)
    for place, says in enumerate(held.decided):
        lead = "" if place else w.DECIDED.upper()
        yield from hung(says, width, lead.ljust(len(DECIDED_INDENT)), DECIDED_INDENT)
    for note in held.notes:
        yield from hung(f"{note.head.upper()} {note.says}", width, "", INDENT)


def _turn_over(lines: list[str], width: int) -> Iterable[str]:
    """End with where the reasons are, on the last line where there is room."""
    last = lines[-1] if lines else ""
    if len(last) + len(GAP) + len(w.TURN_OVER) <= width:
        return [*lines[:-1], last.ljust(width - len(w.TURN_OVER)) + w.TURN_OVER]
    return [*lines, w.TURN_OVER.rjust(width)]


def hung(text: str, width: int, first: str, rest: str) -> list[str]:
    """Text broken at `width` columns, its first line behind `first`, the others behind `rest`."""
    lines = wrap(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return lines or [first.rstrip()]
