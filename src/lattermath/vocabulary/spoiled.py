"""Produce that grows and is soiled: an account apart from yield that never grows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lattermath.vocabulary.span import Span


@dataclass(frozen=True, slots=True)
class Spoiled:
    """What one kind of insect does to the coming pickings of one planting.

    Shares of what is picked until `last`, 0 to 1; what is to be thrown away is soiled too.
    """

    planting: str
    last: date
    by: str  # what is on it: honeydew, holes, scars
    remedy: str  # what makes it fit to eat
    soiled: Span  # with the course
    thrown: Span  # with the course; the part of it that is past the remedy
    soiled_if_left: Span  # if nothing is done
    thrown_if_left: Span
    counted: bool  # whether the loss of yield stands for what is thrown away already
    rests_on: tuple[str, ...] = ()
