"""One treatment against two: what a look has to find is told of each, and none is forgotten."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from lattermath.planning.evening_sprays import with_numbers
from lattermath.planning.treating import Spraying, joined
from lattermath.vocabulary.plot import Planting

SQUASH = Planting("squash", "Squash", "winter_squash", 4, "a")
PICK = Spraying(
    "hand_pick", None, "striped_cucumber_beetle", "beetle", SQUASH, 10.0, (), ("underside", "top"),
    "pick off", sprayed=False, only_if="the look finds beetles",
)  # fmt: skip


def of_bugs(only_if: str) -> Spraying:
    return replace(PICK, target="squash_bug", target_name="squash bug", only_if=only_if)


def test_the_look_may_find_either() -> None:
    (both,) = joined([PICK, of_bugs("the look finds bugs still there")])
    (told,) = with_numbers([both], (), ())
    assert told.only_if == "the look finds beetles, or bugs still there"


def test_what_is_surely_there_does_not_wait_for_what_is_not() -> None:
    (both,) = joined([PICK, of_bugs("")])
    (told,) = with_numbers([both], (), ())
    assert told.only_if == ""


def test_three_are_told_in_one() -> None:
    mites: Any = replace(PICK, target="mite", only_if="the look finds mites")
    (all_three,) = joined([PICK, of_bugs("the look finds bugs"), mites])
    assert len(all_three.targets_too) == len(all_three.finds_too) == 2
    (told,) = with_numbers([all_three], (), ())
    assert told.only_if == "the look finds beetles, or bugs, or mites"


@pytest.mark.parametrize("turned", [False, True])
def test_what_only_counts_on_it_never_makes_it_sure(turned: bool) -> None:
    """Soap went on nightshades for aphids nobody looked for, since mites were seen there too."""
    counts_on = replace(of_bugs(""), sure=True, beside=True)
    works = [counts_on, PICK] if turned else [PICK, counts_on]
    (both,) = joined(works)
    assert both.only_if == PICK.only_if and both.sure == PICK.sure
    assert {both.target, *both.targets_too} == {"striped_cucumber_beetle", "squash_bug"}
    (told,) = with_numbers([both], (), ())
    assert told.only_if == "the look finds beetles"
    (own,) = joined([*works, replace(of_bugs(""), target="mite")])
    assert own.only_if == "" and own.sure
