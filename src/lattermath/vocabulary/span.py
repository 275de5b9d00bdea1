"""A number that is not known exactly."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.vocabulary.figure import Standing


@dataclass(frozen=True, slots=True)
class Span:
    """A number that is not known exactly: 10th, 50th and 90th percentile of the draws."""

    low: float
    median: float
    high: float
    unit: str
    standing: Standing = "derived"
