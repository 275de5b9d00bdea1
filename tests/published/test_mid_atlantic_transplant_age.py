"""Age of plants at setting out, spring greenhouse of about 20 C.

Source: Mid-Atlantic Table A-4 as given by Univ. of Delaware (read; checks-crops A9), weeks.
The ready window must meet the range at 20 C, and at 25 C meet it or be up to 30 % shorter.

Not met: eggplant, ready at 84 to 120 days at 20 C for 42 to 63 (its base of 15 C is steep at 20 C).
Leek: a newsletter's 8 to 10 weeks and the table's 9 to 12 for onions (read).
"""

from __future__ import annotations

import pytest

from lattermath.belief.crop_reckoning import cup_answer
from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables

WEEKS = {
    "broccoli": (4, 7),
    "cabbage": (6, 7),
    "cauliflower": (6, 8),
    "cucumber_slicing": (2, 4),
    "eggplant": (6, 9),
    "lettuce_leaf": (4, 6),
    "leek": (8, 12),
    "melon": (2, 4),
    "pepper_sweet": (7, 9),
    "summer_squash": (2, 4),
    "tomato_determinate": (5, 6),
}


EGGPLANT = pytest.param(
    "eggplant",
    marks=pytest.mark.xfail(strict=True, reason="thermal time above 15 C is too slow at 20 C"),
)


@pytest.mark.parametrize("crop", [*(crop for crop in WEEKS if crop != "eggplant"), EGGPLANT])
def test_ready_window_meets_the_greenhouse_ages(crop: str) -> None:
    traits = crop_traits(load_tables(), crop)
    low, high = WEEKS[crop][0] * 7, WEEKS[crop][1] * 7
    for mean_c, shorter in ((20.0, 1.0), (25.0, 0.7)):
        cup = cup_answer(traits, 200.0, mean_c, 0.0)
        assert cup.ready_from_day is not None and cup.ready_to_day is not None
        assert cup.ready_from_day <= high and cup.ready_to_day >= low * shorter, (crop, mean_c)
