"""A number from outside the program, and where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Standing = Literal["published", "label", "derived", "common-practice", "judgement", "memory"]
Seen = Literal["source", "abstract", "second-hand", "no"]

STANDINGS: tuple[str, ...] = get_args(Standing)
SEEN: tuple[str, ...] = get_args(Seen)


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where a number came from, and what of its source was open when it was typed."""

    standing: Standing
    seen: Seen = "no"
    source: str = ""  # key of knowledge/sources.toml
    locator: str = ""  # table, page, equation
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a standing nobody defined, and `published` for a source nobody saw."""
        if self.standing not in STANDINGS:
            raise ValueError(f"standing {self.standing!r} is none of {', '.join(STANDINGS)}")
        if self.seen not in SEEN:
            raise ValueError(f"seen {self.seen!r} is none of {', '.join(SEEN)}")
        if self.standing == "published" and (not self.source or self.seen == "no"):
            raise ValueError("'published' needs a source that was seen; say 'memory' instead")


@dataclass(frozen=True, slots=True)
class Figure:
    """One sourced number. A missing spread is None, which never means exact."""

    value: float
    low: float | None
    high: float | None
    unit: str
    origin: Provenance
    address: str = ""  # table/row/column, so that a reason can point at it

    @property
    def span(self) -> tuple[float, float]:
        """Low and high; the value itself where the source states no spread."""
        low = self.value if self.low is None else self.low
        high = self.value if self.high is None else self.high
        return low, high
