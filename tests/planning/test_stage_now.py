"""Where to look follows the stages that belief expects: eggs high up, scales low down."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, TABLES, stands

from lattermath.planning.stage_now import StageNow, height_of, stage_now
from lattermath.planning.walk import walk, wanted_of
from lattermath.vocabulary.plot import Planting

DAY = 45
HOME = stands(Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"))
POSITIONS = TABLES.organisms["greenhouse_whitefly"].positions


def now(**numbers: float) -> StageNow | None:
    """What a look meets most of, with so many of each stage on the planting."""
    there = np.array([[numbers.get(stage, 0.0) for stage in LIFE.stages]])
    return stage_now(LIFE.figures, POSITIONS, HOME, 0, DAY, there, np.ones(1))


def test_old_scales_are_sought_low_young_ones_half_way_up_and_eggs_at_the_top() -> None:
    """After the rows: adults lay at the top, and what they laid is left behind as plants grow."""
    old, young, eggs = now(nymph4_pupa=5000), now(nymph2=5000), now(egg=5000)
    assert old and young and eggs
    assert [one.height for one in (old, young, eggs)] == ["low", "middle", "young"]
    assert [one.eggs for one in (old, young, eggs)] == [False, False, True]
    words = [walk(["greenhouse_whitefly"], 8, {"greenhouse_whitefly": one}) for one in
             (old, young, eggs)]  # fmt: skip
    assert words == [
        "turn 10 low leaves, count pale scales",
        "turn 10 leaves half-way up, count pale scales",
        "turn 10 young leaves, count whitefly eggs",
    ]
    assert [blank.stage for blank in wanted_of("greenhouse_whitefly", eggs)] == ["eggs"]
    assert [blank.stage for blank in wanted_of("greenhouse_whitefly", old)] == ["scales"]


def test_as_many_eggs_as_scales_leave_the_count_to_the_scales() -> None:
    both = now(egg=3000, nymph3=2000)
    assert both is not None and not both.eggs and both.height == "middle"


def test_where_hardly_any_are_nothing_is_said_of_stages() -> None:
    assert now(nymph4_pupa=0.5) is None


def test_the_reason_is_the_row_itself() -> None:
    old = now(nymph4_pupa=5000)
    assert old is not None
    assert POSITIONS["nymph4_pupa"] in old.because.says
    assert old.because.rests_on == ("table:organisms/greenhouse_whitefly/position.nymph4_pupa",)


@pytest.mark.parametrize(
    ("organism", "stage", "height"),
    [
        ("sweetpotato_whitefly", "nymph", "low"),
        ("sweetpotato_whitefly", "adult", "young"),
        ("cabbage_whitefly", "egg", "young"),
        ("cabbage_whitefly", "nymph2", ""),
        ("twospotted_spider_mite", "all", "low"),
        ("melon_aphid", "all", ""),
        ("green_peach_aphid", "all", "low"),
    ],
)
def test_rows_read_by_hand(organism: str, stage: str, height: str) -> None:
    assert height_of(TABLES.organisms[organism].positions[stage]) == height


@pytest.mark.parametrize(("crop", "neck"), [("leek", True), ("cucumber_slicing", False)])
def test_no_neck_is_given_to_what_has_none(crop: str, *, neck: bool) -> None:
    """The row tells where thrips sit on onions; a cucumber that has them has no neck."""
    home = [replace(HOME[0], crop=crop)]
    there = np.array([[5000.0 if stage == "nymph2" else 0.0 for stage in LIFE.stages]])
    rows = {"nymph": "between inner leaves at the neck"}
    one = stage_now(LIFE.figures, rows, home, 0, DAY, there, np.ones(1))
    assert one is not None and ("neck" in one.because.says) is neck
    assert neck or one.because.says.endswith(", on the leaves")
