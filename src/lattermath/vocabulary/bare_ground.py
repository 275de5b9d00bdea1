"""Bare ground as a sheet tells it: what it may still carry, and what to do with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.span import Span

GroundUse = Literal["set out", "sow", "cover", "rest"]


@dataclass(frozen=True, slots=True)
class MayCarry:
    """One thing that may be done with bare ground at the next visit.

    named  : what it is in a word or two, for a table.
    kg     : what it would give to the end of the season; None where nothing is picked of it.
    value  : its worth to the household less the work and water; None where it is not weighed.
    latest : last day on which it is usually worth while there; None where no day is known.
    held   : it waits in cups or lies in the tin.
    """

    use: GroundUse
    crop: str
    says: str
    named: str
    pays: bool
    kg: Span | None = None
    value: Span | None = None
    latest: date | None = None
    held: bool = True
    because: tuple[Because, ...] = ()


@dataclass(frozen=True, slots=True)
class BareGround:
    """Ground with nothing on it, what was weighed for it, and what is advised.

    whole  : all of the bed; else the part that its plantings leave by the spacing of the tables.
    filled : a verdict says what goes in; else `says` tells why nothing does, and what to do.
    alike  : what `says` has after the name of a bed, up to `spring`; a sheet says it once for all
             beds that have it in common. Empty where nothing is said.
    spring : what must not follow there next spring, as sentences.
    """

    bed: str
    area_m2: float
    whole: bool
    filled: bool
    says: str
    may: tuple[MayCarry, ...]
    because: tuple[Because, ...] = ()
    alike: str = ""
    spring: str = ""
