"""Numbers by day over a season, behind us and ahead: stages, water in the ground, warmth."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from lattermath.vocabulary.figure import Standing

HowGained = Literal["rain", "poured", "planned"]
Begins = Literal["first seen", "set out", "sown"]
Comes = Literal["hatch", "grown", "first pick"]


@dataclass(frozen=True, slots=True)
class Strip:
    """One stage (or surface) over the coming days, with and without the course."""

    name: str
    days: tuple[date, ...]
    median: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    without: tuple[float, ...]  # median if nothing is done; empty: nothing can be done about it
    unit: str


@dataclass(frozen=True, slots=True)
class Trace:
    """One stage (or surface) over the days behind us, the last of them today."""

    name: str
    days: tuple[date, ...]
    median: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    unit: str


@dataclass(frozen=True, slots=True)
class DaySpan:
    """A day that is not known exactly: 10th, 50th and 90th percentile of the futures."""

    early: date
    middle: date
    late: date
    standing: Standing = "derived"


@dataclass(frozen=True, slots=True)
class Until:
    """As a day span, where None is later than any day looked at."""

    early: date | None
    middle: date | None
    late: date | None


@dataclass(frozen=True, slots=True)
class Gain:
    """Water that came onto the ground of one planting in a day. [mm over that ground]"""

    day: date
    mm: float
    how: HowGained


@dataclass(frozen=True, slots=True)
class WaterCourse:
    """The water that the roots of one planting can still reach. [mm; times `litres_a_mm`: litres]

    so_far : at the end of each day, the last of them today before anything is poured tonight.
    ahead  : from tonight on, watered as planned at the coming visit and never again; `without`:
             nothing poured at all. Empty where nothing is planned.
    due    : what must be left for growth not to suffer, on the days of `so_far` and of `ahead`
             without its first. Below it water is due.
    full   : the most that the roots can reach, on the same days.
    dry_by : by when it falls below `due` if it is watered as planned and never again.
    """

    planting: str
    litres_a_mm: float
    so_far: Trace
    ahead: Strip
    due: tuple[float, ...]
    full: tuple[float, ...]
    gains: tuple[Gain, ...]
    dry_by: Until
    rough: str = ""


@dataclass(frozen=True, slots=True)
class HeatMark:
    """What a sum of degree-days brings: `needs` from the course's start on. [C d]"""

    what: Comes
    needs: float
    when: Until


@dataclass(frozen=True, slots=True)
class HeatCourse:
    """Degree-days since a day, by the morning of each day, for one organism or planting. [C d]

    of       : an organism of `populations`, or a planting that does not bear yet.
    method   : as `lattermath compute degree-days` names it, cutoff after it; `clipped average`:
               each extreme brought within base and upper, then averaged, no day beyond what it
               names as the most, times what late light leaves.
    ahead    : its first day is today, as the last of `so_far`.
    """

    of: str
    since: date
    begins: Begins
    base_c: float
    upper_c: float
    method: str
    so_far: Trace
    ahead: Strip
    marks: tuple[HeatMark, ...] = ()
