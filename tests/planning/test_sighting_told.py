"""A sighting that disagrees is told in the units in which it was looked at."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.explanations import Explained
from lattermath.belief.sighting_check import Check
from lattermath.planning.sighting_told import (
    WORDS,
    look_says,
    may_be,
    never_came_says,
    ranked_says,
)

NOTHING = np.zeros(0)
RANKED = [
    Explained(key, -float(n), 0.5 - 0.1 * n, NOTHING, NOTHING, NOTHING, 9.0)
    for n, key in enumerate(("looked elsewhere", "another pest", "chance"))
]


def told(units: str) -> str:
    parts = [one.what for one in may_be(RANKED, units)]
    look = look_says(None, "Potatoes", "beetles", RANKED, units)
    return " ".join([*parts, ranked_says(RANKED, units), look])


@pytest.mark.parametrize(("units", "not_said"), [("plants", "lea"), ("cards", "leaves")])
def test_whole_plants_and_cards_are_not_called_leaves(units: str, not_said: str) -> None:
    assert f"the {units} looked at were not theirs" in told(units)
    assert not_said not in told(units).replace("at least", "")


def test_leaves_are(units: str = "leaves") -> None:
    assert "the leaves looked at were not theirs" in told(units) and "take a leaf" in told(units)


def test_no_word_is_left_open() -> None:
    assert not any("{" in told(one) for one in ("leaves", "plants")) and WORDS


def test_what_is_not_named_is_told_together() -> None:
    """Seven as likely as each other: four are named, and the rest is not kept back."""
    ranked = [Explained(key, 0.0, 1 / 7, NOTHING, NOTHING, NOTHING, 9.0) for key in list(WORDS)[:7]]
    named = may_be(ranked)
    assert [one.what for one in named][4:] == ["something else"]
    assert sum(one.chance for one in named) == pytest.approx(1.0)
    assert all(one.what != "something else" for one in may_be(ranked[:4]))


def test_clean_plants_that_were_never_reached_are_no_riddle() -> None:
    """No list of what may have gone wrong: it seems that none came."""
    what = "Melons: 0 counted on 10 leaves on 25 Jun"
    says = never_came_says(what, Check(0.01, more=False, low=2.0, high=10000.0))
    assert says == f"{what}: it seems they did not come there, though 2 to 10000 were expected."
