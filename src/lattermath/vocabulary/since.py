"""What a plan has otherwise than the sheet before it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class Otherwise:
    """One thing that the sheet before had otherwise, and what came in between that touches it."""

    how: Literal["added", "dropped", "moved", "otherwise"]
    says: str
    planting: str | None = None
    day: date | None = None  # on which it is planned now
    was: date | None = None  # on which the sheet before had it
    because: tuple[Because, ...] = ()


@dataclass(frozen=True, slots=True)
class Since:
    """What this plan has otherwise than the sheet before it; what matters most comes first."""

    sheet: date  # on which the sheet before was made
    changes: tuple[Otherwise, ...]
    looks_of: date | None = None  # its visit, where that is over
    not_looked: tuple[str, ...] = ()  # what it asked to be looked at there, and nobody wrote down
