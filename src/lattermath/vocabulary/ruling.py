"""A verdict that carries its reasons."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Who = Literal["label", "garden", "our caution", "model", "grower"]


@dataclass(frozen=True, slots=True)
class Because:
    """One reason. `holds` is False when this reason alone forbids the act.

    `rests_on` holds addresses that `why` can unfold: `event:SERIAL`, `reading:DATE`,
    `table:TABLE/ROW/COLUMN`, `label:PRODUCT/LINE`, `rule:ID`, `plot:SECTION/KEY`, `computed:WORDS`.
    `aside`: too long for paper; `why`, `look` and the page tell it.
    """

    says: str
    holds: bool = True
    who: Who = "model"
    rests_on: tuple[str, ...] = ()
    lapses: datetime | None = None  # when a forbidding reason ends, if it does
    way_out: str = ""  # the cheapest thing that can be done instead
    aside: bool = False


@dataclass(frozen=True, slots=True)
class Ruling:
    """May this be done? Every clause speaks, also the ones that pass."""

    reasons: tuple[Because, ...]

    @property
    def allowed(self) -> bool:
        """True only when something was asked and nothing forbids; an empty ruling refuses."""
        return bool(self.reasons) and all(reason.holds for reason in self.reasons)

    @property
    def bars(self) -> tuple[Because, ...]:
        """The reasons that forbid."""
        return tuple(reason for reason in self.reasons if not reason.holds)

    @property
    def ask_again(self) -> datetime | None:
        """When to rule afresh; None when allowed, or when some bar never lapses."""
        lapses = [bar.lapses for bar in self.bars]
        known = [when for when in lapses if when is not None]
        return max(known) if known and len(known) == len(lapses) else None


def cheapest_way(bars: Iterable[Because]) -> str:
    """The way round everything that bars: round what never lapses, or else lapses last.

    By then the rest is over. Empty where no bar knows a way.
    """
    told = [bar for bar in bars if not bar.holds and bar.way_out]
    lasting = [bar for bar in told if bar.lapses is None]
    if lasting:
        return lasting[0].way_out
    last = max(told, key=lambda bar: bar.lapses.timestamp() if bar.lapses else 0.0, default=None)
    return "" if last is None else last.way_out


def ruling(reasons: Iterable[Because]) -> Ruling:
    """Gather clauses into a ruling."""
    return Ruling(tuple(reasons))
