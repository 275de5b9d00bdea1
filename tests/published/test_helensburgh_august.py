"""What is taken from Scottish allotments in August.

Sources (read): a horticultural society on the Clyde, The Horti's Allotment, 22 August 2018:
"onions have been pulled and potatoes dug. Beans, courgettes, kale ... and carrots are still being
harvested"; the Scottish Allotments and Gardens Society, 15 August 2014: "Particularly keep up with
the picking of runner beans". Months recalled; days of sowing and setting out are common practice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.published.cool_summers import HELENSBURGH, first_picking

from lattermath.belief.crop_traits import Start

BEGUN: dict[str, tuple[Start, date]] = {
    "potato": ("sown", date(2018, 4, 15)),
    "bean_bush": ("sown", date(2018, 5, 20)),
    "summer_squash": ("set out", date(2018, 6, 1)),
    "kale": ("set out", date(2018, 5, 25)),
    "carrot": ("sown", date(2018, 4, 20)),
    "runner_bean": ("set out", date(2018, 5, 30)),
}


@pytest.mark.parametrize("crop", BEGUN)
def test_it_is_taken_by_the_end_of_august(crop: str) -> None:
    start, began = BEGUN[crop]
    found = first_picking(crop, start, began, HELENSBURGH).likely
    assert found is not None and began + timedelta(found) <= date(2018, 8, 31)
