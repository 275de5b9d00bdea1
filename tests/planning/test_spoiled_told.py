"""Soiled produce in words: what is rinsed, what is thrown away, and what is not said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from lattermath.planning.spoiled_told import one_in, spoiled_because, spoiled_says
from lattermath.vocabulary.span import Span
from lattermath.vocabulary.spoiled import Spoiled


def share(low: float, middle: float, high: float) -> Span:
    return Span(low, middle, high, "share of what is picked")


KALE = Spoiled(
    "kale", date(2026, 8, 20), "honeydew", "rinse",
    share(0.02, 0.1, 0.3), share(0.01, 0.05, 0.1), share(0.1, 0.25, 0.5), share(0.05, 0.1, 0.2),
    counted=True, rests_on=("table:habits/x/soils.leaves",),
)  # fmt: skip


def test_rinse_and_throw_away_with_the_course_and_without() -> None:
    assert spoiled_says((KALE,), ("Curly kale",)) == (
        " Of what you pick on Curly kale in the coming four weeks about 1 in 10 will have "
        "honeydew (1 in 50 to 1 in 3): rinse; 1 in 20 of all to throw away. "
        "If nothing is done: 1 in 4, 1 in 10 to throw away."
    )


def test_what_only_wants_cleaning_is_not_called_lost() -> None:
    none = share(0, 0, 0)
    clean = replace(KALE, thrown=none, thrown_if_left=none)
    assert "throw" not in spoiled_says((clean,), ("Curly kale",))
    (reason,) = spoiled_because((clean,), ("Curly kale",))
    assert "not lost" in reason.says


def test_a_reason_says_whether_the_loss_stands_for_it_already() -> None:
    apart = replace(KALE, planting="cabbages", counted=False)
    _, once, never = spoiled_because((KALE, apart), ("Kale", "Cabbages"))
    assert "Kale" in once.says and "not taken off again" in once.says
    assert "Cabbages" in never.says and "is taken off what there will be to eat" in never.says
    assert once.rests_on == never.rests_on == KALE.rests_on


def test_next_to_nothing_is_not_told_and_the_worst_comes_first() -> None:
    little = replace(KALE, soiled=share(0, 0, 0.01), soiled_if_left=share(0, 0.01, 0.02))
    assert spoiled_says((little,), ("Kale",)) == "" and not tuple(
        spoiled_because((little,), ("K",))
    )
    worse = replace(KALE, soiled_if_left=share(0.2, 0.6, 0.9))
    said = spoiled_says((KALE, worse), ("First", "Second"))
    assert said.index("Second") < said.index("First")


@pytest.mark.parametrize(
    "part,says",
    [
        (0.004, ""), (0.02, "1 in 50"), (0.047, "1 in 20"), (0.1, "1 in 10"), (0.3, "1 in 3"),
        (0.52, "half"), (0.6, "6 in 10"), (1.0, "nearly all"),
    ],
)  # fmt: skip
def test_shares_in_words(part, says) -> None:
    assert one_in(part) == says
