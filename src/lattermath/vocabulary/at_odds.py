"""A sighting that is not what was believed: what may explain it, and the look that would tell."""

from __future__ import annotations

from dataclasses import dataclass

# Judgement: explanations that a sheet names at most, and the least chance of one that it names.
MOST_NAMED, LEAST_NAMED = 4, 0.08


@dataclass(frozen=True, slots=True)
class MayBe:
    """One thing that may explain a sighting, and how likely it is beside the others."""

    what: str  # a noun or a clause
    chance: float


@dataclass(frozen=True, slots=True)
class Disagreement:
    """One planting's sighting that disagrees with belief."""

    says: str  # what was seen, what was expected
    may_be: tuple[MayBe, ...]  # the likeliest first
    to_tell: str  # as a sentence; "" where no look tells
