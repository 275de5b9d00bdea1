"""One walk a planting: everything that is looked for is counted on the same ten leaves."""

from __future__ import annotations

import itertools
import re

import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.planning.leaf_looks import LOOKS
from lattermath.planning.walk import WHAT_TO_COUNT, how_to_count, walk, wanted_of, wants_plants

THINGS = [*WHAT_TO_COUNT, *LOOKS]


def leaves_asked(says: str) -> int:
    """By the words alone: every number that stands before leaves, "the same leaves" none."""
    return sum(map(int, re.findall(r"(\d+) (?:\w+ )?leaves", says)))


@pytest.mark.parametrize("plants", [4, 10, 30])
def test_no_two_things_together_ask_for_more_than_ten_leaves(plants: int) -> None:
    for pair in itertools.product(THINGS, THINGS):
        says = walk(pair, plants)
        assert leaves_asked(says) <= 10, says
        assert "{" not in says and says.count(";") <= 1, says


def test_three_things_neither() -> None:
    for few in itertools.combinations(THINGS, 3):
        assert leaves_asked(walk(few, 12)) <= 10


def test_each_thing_is_still_named() -> None:
    for pair in itertools.combinations(WHAT_TO_COUNT, 2):
        says = walk(pair, 12)
        for organism in pair:
            for blank in wanted_of(organism):
                word = "white" if blank.share_of else blank.says
                assert word in says, (says, word)


def test_low_leaves_serve_for_old_ones_and_half_where_all_ages_are_sought() -> None:
    whitefly, mildew = "greenhouse_whitefly", "cucurbit_powdery_mildew"
    assert walk([whitefly, mildew], 8) == (
        "turn 10 low leaves, count pale scales, note how much is white below and above"
    )
    assert walk([whitefly, "melon_aphid"], 8) == (
        "turn 10 leaves, half of them low, count pale scales, aphids"
    )
    assert walk(["melon_aphid", "late_blight"], 8) == (
        "turn 10 leaves, count aphids; look at stems, the same leaves above and below, green "
        "fruit, dark wet patches, white edge below"
    )


def test_a_look_at_flowers_names_the_way_to_log_it() -> None:
    """What is tapped out of flowers is counted in those, and said to be; the blank says it too."""
    thrips, taps = "western_flower_thrips", ("western_flower_thrips",)
    says = walk((thrips, "melon_aphid"), 12, flowers=taps)
    assert "tap 10 flowers over paper, count thrips" in says and "--surface flowers" in says
    some = walk((thrips,), 12, some=taps, flowers=taps)
    assert "count flowers with thrips" in some and "--surface flowers" in some
    (blank,) = wanted_of(thrips, tapped=True)
    assert blank.flowers and blank.says == "thrips in flowers"
    assert "flower" not in walk((thrips,), 12) and not next(wanted_of(thrips)).flowers


@pytest.mark.parametrize("crop", ["onion_scallion", "leek", "garlic"])
def test_only_the_onion_family_has_a_neck(crop: str) -> None:
    """The rows of onion thrips are those of onions; they live on cabbage and cucumber too."""
    thrips = "onion_thrips"
    assert walk([thrips], 12, crop=crop) == "follow 10 leaves down into the neck, count thrips"
    assert "neck" in how_to_count(thrips, 12, crop=crop)
    for other in ("cucumber_slicing", "cabbage", "kale"):
        assert walk(["melon_aphid", thrips], 12, crop=other) == (
            "turn 10 leaves, count aphids, thrips"
        )
        assert how_to_count(thrips, 12, crop=other) == "turn 10 leaves, count thrips"


def test_plants_are_no_more_than_stand_there() -> None:
    assert wants_plants("squash_bug") and not wants_plants("melon_aphid")
    assert walk(["flea_beetles"], 4).startswith("look all 4 plants over, ")
    assert walk(["flea_beetles"], 1).startswith("look the plant over, ")
    assert walk(["flea_beetles"], 40).startswith("look 10 plants over, ")
    both = walk(["melon_aphid", "flea_beetles"], 40)
    assert both.startswith("turn 10 leaves, one a plant, count aphids; look 10 plants over")


def test_what_a_count_is_logged_of_is_what_the_look_asks_for() -> None:
    """A count of plants in the table is asked for by plant, and one of leaves by leaf."""
    tables = load_tables()
    for organism in tables.organisms:
        by_plant = tables.habits[organism].counted_by_plant
        assert wants_plants(organism) == by_plant, organism
        assert ("leaves" in how_to_count(organism).partition(", ")[0]) != by_plant
