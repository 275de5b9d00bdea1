"""What if it were otherwise: what is supposed, and what would then be different."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from lattermath.vocabulary.plan import Span
from lattermath.vocabulary.plot import Weekday

How = Literal["added", "dropped", "moved", "otherwise"]


@dataclass(frozen=True, slots=True)
class Supposition:
    """A change of what was entered, for one answer; nothing of it is written down.

    plot_file_text : a plot file that is read in place of the plot's own, such as a copy with
                     another product on its shelf.
    frost_days     : the first frost of every future comes so many days later; below 0: earlier.
    """

    no_products: bool = False
    without: tuple[str, ...] = ()  # keys of products that are left out
    days: tuple[Weekday, ...] = ()
    minutes: int | None = None
    cans: int | None = None
    away: tuple[date, date] | None = None
    frost_days: int = 0
    plot_file_text: str = ""
    says: tuple[str, ...] = ()  # in words, one for each change


@dataclass(frozen=True, slots=True)
class Changed:
    """One thing of a plan that another plan has otherwise."""

    how: How
    says: str
    planting: str | None = None
    day: date | None = None  # on which the second plan has it
    was: date | None = None  # on which the first had it


@dataclass(frozen=True, slots=True)
class Compared:
    """One figure as planned, as it would be, and the difference, draw by draw where it has any.

    A number without a range is what the plan decides, not what chance brings.
    """

    what: str
    planned: Span
    supposed: Span
    difference: Span
    planting: str | None = None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The difference that a supposition makes, on the same futures."""

    supposed: tuple[str, ...]
    as_of: str
    harvest: tuple[Compared, ...]  # the whole plot in kilograms and portions, then each planting
    work: tuple[Compared, ...]  # visits, minutes, treatments
    verdicts: tuple[Changed, ...]
    tasks: tuple[Changed, ...]  # of the visits that both plans lay out
    courses: tuple[Changed, ...]
    names: tuple[tuple[str, str], ...] = ()
