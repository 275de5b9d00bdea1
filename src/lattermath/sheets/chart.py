"""What a chart shows, before anything draws it: one small specification for page and file.

A chart is panels one above the other on one axis of days. A panel holds a course of numbers by
day, or numbers by week, or stretches of days. Its words and its table come from the same
specification as its drawing, so that they cannot differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from textwrap import wrap
from typing import Literal

Cells = tuple[str, ...]
Look = Literal["open", "barred", "filling", "ready", "past"]
Sign = Literal["done", "planned", "looked", "last day"]


@dataclass(frozen=True, slots=True)
class Course:
    """Numbers by day with their range; `without` is the middle if nothing is done, or empty."""

    days: tuple[date, ...]
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    without: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Week:
    """A number of the days from `first` to `last`: known where low and high are None."""

    first: date
    last: date
    middle: float
    low: float | None = None
    high: float | None = None
    without: float | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """What came in on one day, from the foot of a panel up, in the panel's unit."""

    day: date
    amount: float
    look: Literal["known", "planned", "rain"]
    says: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A line that the numbers are held against, its label, and what it is."""

    days: tuple[date, ...]
    values: tuple[float, ...]
    label: str
    says: str
    at: Literal["line", "head"] = "line"  # its label: over its beginning, or beside the name


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days on which something holds, both ends included, and what it is."""

    first: date
    last: date
    look: Look
    says: str


@dataclass(frozen=True, slots=True)
class Point:
    """A sign on one day of one panel, and what it is."""

    day: date
    sign: Sign
    says: str


@dataclass(frozen=True, slots=True)
class Panel:
    """One strip of a chart, with its name and, where it has numbers, their unit."""

    name: str
    unit: str = ""
    courses: tuple[Course, ...] = ()
    weeks: tuple[Week, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    points: tuple[Point, ...] = ()
    between: tuple[date, date] | None = None  # a band of days marked in this panel alone
    columns: tuple[Column, ...] = ()
    limits: tuple[Limit, ...] = ()

    @property
    def has_numbers(self) -> bool:
        """Whether it has an axis of numbers."""
        return bool(self.courses or self.weeks)

    @property
    def top(self) -> float:
        """The greatest number that it draws."""
        courses = [v for c in self.courses for row in (c.high, c.without) for v in row]
        weeks = [v for w in self.weeks for v in (w.middle, w.high, w.without) if v is not None]
        more = [c.amount for c in self.columns] + [v for one in self.limits for v in one.values]
        return max([*courses, *weeks, *more], default=0.0)


@dataclass(frozen=True, slots=True)
class Upright:
    """A day marked through all panels, with its short label above."""

    day: date
    sign: Literal["done", "planned", "today", "frost"]
    label: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """One picture: a question, its answer in a sentence, and what is drawn for it."""

    key: str  # letters, figures and hyphens: the name of its file
    title: str  # names the quantity and its unit
    note: str  # how to read it
    says: tuple[str, ...]  # the outcome in sentences, the chief one first
    first: date
    last: date
    panels: tuple[Panel, ...]
    uprights: tuple[Upright, ...] = ()

    @property
    def outcome(self) -> str:
        """The outcome in words, for those who do not see the drawing."""
        return " ".join(self.says)

    @property
    def n_days(self) -> int:
        """Days from the first to the last."""
        return (self.last - self.first).days


HEADS: Cells = ("strip", "what", "from", "to", "low", "middle", "high", "nothing done")
ROW_COUNTS = 0.45  # height of a row beside that of a panel of numbers
STEP_DAYS = 7  # between the days of a course that a table shows; a file has each of them


def number_rows(panel: Panel, step: int = STEP_DAYS) -> Iterator[Cells]:
    """The numbers of a panel under HEADS, days as ISO 8601, numbers to their last figure.

    step : of a course every so many days from its first on, and its last.
    """
    for course in panel.courses:
        last = len(course.days) - 1
        for n in sorted({*range(0, last + 1, step), last}):
            day, without = course.days[n], course.without[n] if course.without else None
            numbers = (course.low[n], course.middle[n], course.high[n], without)
            yield _row(panel, panel.unit, day, day, *numbers)
    for week in panel.weeks:
        numbers = (week.low, week.middle, week.high, week.without)
        yield _row(panel, panel.unit, week.first, week.last, *numbers)


def limit_rows(panel: Panel) -> Iterator[Cells]:
    """The lines of a panel and what came in, day by day under HEADS, as its middle."""
    for limit in panel.limits:
        for day, value in zip(limit.days, limit.values, strict=True):
            yield _row(panel, f"{limit.label}, {panel.unit}", day, day, None, value, None, None)
    for one in panel.columns:
        yield _row(panel, one.says, one.day, one.day, None, one.amount, None, None)


def day_rows(panel: Panel) -> Iterator[Cells]:
    """What holds on which days in a panel, under HEADS."""
    held = [(s.first, s.last, s.says) for s in panel.stretches]
    held += [(one.day, one.day, one.says) for one in panel.points]
    held += [(one.day, one.day, one.says) for one in panel.columns]
    held += [(one.days[0], one.days[-1], one.says) for one in panel.limits]
    for first, last, says in sorted(held):
        yield _row(panel, says, first, last)


def chart_words(chart: Chart) -> list[str]:
    """Title and outcome as lines of text."""
    return [f"{chart.title}:", *(f"   {line}" for line in wrap(chart.outcome, 75))]


def csv_text(chart: Chart) -> str:
    """Everything that a chart draws, day by day, as comma-separated text (RFC 4180)."""
    rows: list[Cells] = [HEADS]
    for panel in chart.panels:
        rows += [*number_rows(panel, 1), *limit_rows(panel), *day_rows(panel)]
    whole = Panel("")
    rows += [_row(whole, one.says or one.label, one.day, one.day) for one in chart.uprights]
    return "".join(",".join(map(_cell, row)) + "\r\n" for row in rows)


def _row(panel: Panel, what: str, first: date, last: date, *numbers: float | None) -> Cells:
    said = ["" if value is None else repr(float(value)) for value in numbers]
    blank = [""] * (len(HEADS) - 4 - len(said))
    return panel.name, what, first.isoformat(), last.isoformat(), *said, *blank


def _cell(text: str) -> str:
    quoted = any(letter in text for letter in ',"\r\n')
    return '"' + text.replace('"', '""') + '"' if quoted else text


def in_parts(chart: Chart, most: int) -> Iterator[Chart]:
    """The same chart in pieces as paper has room for: panels of numbers count 1, rows less."""
    pieces: list[list[Panel]] = [[]]
    room = float(most)
    for panel in chart.panels:
        room -= 1.0 if panel.has_numbers else ROW_COUNTS
        if room < 0 and pieces[-1]:
            pieces.append([])
            room = most - (1.0 if panel.has_numbers else ROW_COUNTS)
        pieces[-1].append(panel)
    if len(pieces) == 1:
        yield chart
        return
    for n, panels in enumerate(pieces, 1):
        yield replace(chart, key=f"{chart.key}-{n}", panels=tuple(panels))


def weeks_between(first: date, last: date) -> Iterator[date]:
    """Every Monday from the first day to the last."""
    day = first + timedelta(days=-first.weekday() % 7)
    while day <= last:
        yield day
        day += timedelta(days=7)
