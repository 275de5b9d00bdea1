"""The front tells what really keeps an organism from being treated: what bars it, or no gain."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.not_treated import not_treated
from lattermath.planning.choices_told import BARRED, NOW
from lattermath.vocabulary.plan import NotToday, Population, Span
from lattermath.vocabulary.ruling import Because

DAY = date(2026, 7, 24)
WINDOW = Because("for the bees' sake in the evening window", holds=False, way_out="stay")
HOSE = Because("no hose", holds=False, rests_on=("plot:water/hose",), way_out="a hose")
PRICE = Because(f"{NOW}: about 7.5 portions worse")
NONE = Because(f"{NOW}: {BARRED} (Fri 24 Jul)")


@dataclass(frozen=True)
class Named:
    """As much of the facts as the front reads: an empty shelf, and a name."""

    plot: Any = field(default_factory=lambda: SimpleNamespace(shelf=()))
    tables: Any = field(default_factory=lambda: SimpleNamespace(named=lambda _: "onion thrips"))


def front(*because: Because) -> NotToday:
    found = Population(
        *("onion_thrips", ("leeks",), "", (), (), "Nothing that may be used is worth its work."),
        Span(1.0, 1.0, 1.0, ""), because=because,
    )  # fmt: skip
    facts: Any = Named()
    (told,) = not_treated(facts, [found], SimpleNamespace(day=DAY))  # type: ignore[arg-type]
    return told


def test_where_all_is_barred_the_bars_are_told_and_the_hose_comes_last() -> None:
    assert front(HOSE, WINDOW, NONE).because == (WINDOW, HOSE)


def test_what_only_the_hours_bar_is_told_as_that() -> None:
    """Thirteen minutes of clock were told as work that is not worth it."""
    later = Because(WINDOW.says, holds=False, way_out="stay until 18:08, or come at 16:43")
    assert front(HOSE, later, PRICE).because == (later,)


@pytest.mark.parametrize("bars", [(HOSE,), (HOSE, WINDOW)])
def test_where_something_is_allowed_the_work_it_is_not_worth_is_the_reason(
    bars: tuple[Because, ...],
) -> None:
    first, *others = front(*bars, PRICE).because
    assert "not worth its work" in first.says
    assert tuple(others) == tuple(bar for bar in bars if bar is WINDOW)
