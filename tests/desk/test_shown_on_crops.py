"""No crop is offered a sign of a part that it has not: by what gardeners eat and see of each."""

from __future__ import annotations

import pytest

from lattermath.desk.diagnose import diagnose, signs_of
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
CROPS = [crop for crops in TABLES.crosswalk.diagnosis_groups.values() for crop in crops]
# What bears fruit or pods that set from flowers, what closes to a head, what climbs or trails;
# botany from memory.
FRUITING = {
    "tomato_determinate", "tomato_indeterminate", "cucumber_pickling", "cucumber_slicing", "melon",
    "summer_squash", "winter_squash", "bean_bush", "bean_pole", "runner_bean", "pepper_sweet",
    "eggplant", "pea_fall", "okra",
}  # fmt: skip
HEADING = {"cabbage", "chinese_cabbage", "lettuce_head"}
CUCURBITS = {"cucumber_pickling", "cucumber_slicing", "melon", "summer_squash", "winter_squash"}
ONLY_ON = {
    "flowers_drop_no_fruit": FRUITING,
    "misshapen_fruit": FRUITING,
    "pale_papery_sun_side": FRUITING,
    "scabby_fruit_spots": FRUITING,
    "cloudy_white_spots_fruit": FRUITING,
    "fruit_hole_at_stem_end": FRUITING,
    "sunken_dark_blossom_end": FRUITING,
    "sunken_round_spots": FRUITING,
    "white_yeasty_fruit_rot": FRUITING,
    "few_bees": FRUITING,
    "bee_watch": FRUITING,
    "cut_holed_fruit": FRUITING,
    "sunken_ooze": FRUITING,
    "where_on_fruit": FRUITING,
    "split_head": HEADING,
    "sudden_wilt_one_vine": CUCURBITS,
    "string_test": CUCURBITS,
    "maggots_in_bulb": {"onion_scallion", "leek", "garlic"},
    "gappy_cob": {"sweet_corn"},
    "green_tuber": {"potato"},
    "hard_yellow_shoulders": {"tomato_determinate", "tomato_indeterminate"},
}


@pytest.mark.parametrize("sign", ONLY_ON)
def test_a_sign_is_offered_only_where_the_crop_has_the_part(sign: str) -> None:
    offered = {crop for crop in CROPS if sign in signs_of(TABLES, crop)}
    assert offered and offered <= ONLY_ON[sign]


def test_what_no_crop_of_that_kind_shows_is_no_cause_there() -> None:
    """Splitting of heads once stood among the causes of tiny holes in radishes."""
    for crop, has in (("radish", False), ("kale", False), ("cabbage", True)):
        causes = diagnose(TABLES, crop, "general", ["shot_holes"]).told.probabilities
        assert ("head_splitting" in causes) is has and ("tipburn" in causes) is has
        assert "flea_beetle" in causes


def test_a_key_of_a_whole_group_keeps_what_one_of_its_crops_shows() -> None:
    assert (
        "head_splitting"
        in diagnose(TABLES, "brassica", "general", ["split_head"]).told.probabilities
    )
