"""What is said of work by hand fits whatever it takes: aphids lay no masses of eggs."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.planning.means import MEANS
from lattermath.planning.other_means import _not_here, _share
from lattermath.planning.treating import VERBS


def test_egg_masses_are_spoken_of_only_where_there_are_some() -> None:
    targets = load_tables().crosswalk.targets
    hand = MEANS["hand_pick"]
    assert "hand_pick" in VERBS
    told = {key for key, words in targets.items() if "egg masses" in hand.said(words)}
    assert {"squash_bug", "colorado_potato_beetle"} <= told
    assert not told & {"melon_aphid", "green_peach_aphid", "greenhouse_whitefly", "onion_thrips"}
    for key, words in targets.items():
        assert hand.said(words).startswith("Pick off and crush by hand"), key


def test_the_mummies_of_aphids_are_left() -> None:
    """A brown, swollen aphid holds a wasp that takes more of them; of bugs nothing is said."""
    tables = load_tables()
    said = {o: MEANS["hand_pick"].said(tables.crosswalk.targets[o]) for o in tables.organisms}
    assert {o for o, words in said.items() if "mummies" in words} == {
        "melon_aphid", "green_peach_aphid",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("low", "high", "says"),
    [
        (40, 90, "4 to 9 in 10"),
        (70, 70, "about 7 in 10"),
        (97, 100, "nearly all"),
        (60, 98, "6 in 10 to nearly all"),
        (0, 40, "hardly any to 4 in 10"),
    ],
)
def test_a_share_is_said_without_ten_of_ten(low: float, high: float, says: str) -> None:
    row: Any = SimpleNamespace(percent=SimpleNamespace(span=(low, high)))
    assert _share(row) == says


def test_one_visit_a_week_is_once() -> None:
    visiting: Any = SimpleNamespace(days=(2,), arrive=None)
    assert _not_here("board_trap", visiting) == "; you come once a week"
