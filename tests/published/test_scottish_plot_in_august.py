"""What a Scottish allotment gave by 24 August.

Source: diary of a plot on the east coast of Scotland, 24 August 2014 (read): eaten each week then
are cabbage, turnips, cauliflowers, courgettes, salads and beetroot, Swiss chard is prolific, and
potatoes were lifted; summer cabbage and cauliflower came a week later than the year before.
Months of Leuchars recalled; days of sowing and setting out are common practice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.published.cool_summers import LEUCHARS, first_picking

from lattermath.belief.crop_traits import Start

BEGUN: dict[str, tuple[Start, date]] = {
    "cabbage": ("set out", date(2014, 5, 10)),
    "cauliflower": ("set out", date(2014, 5, 10)),
    "turnip": ("sown", date(2014, 5, 1)),
    "beet": ("sown", date(2014, 5, 1)),
    "chard": ("sown", date(2014, 5, 1)),
    "lettuce_leaf": ("sown", date(2014, 5, 1)),
    "summer_squash": ("set out", date(2014, 6, 5)),
    "potato": ("sown", date(2014, 4, 15)),
}


@pytest.mark.parametrize("crop", BEGUN)
def test_it_is_eaten_by_24_august(crop: str) -> None:
    start, began = BEGUN[crop]
    found = first_picking(crop, start, began, LEUCHARS).likely
    assert found is not None and began + timedelta(found) <= date(2014, 8, 24)


def test_what_needs_a_hot_summer_is_not_there() -> None:
    """Sweet corn was still to come, and nobody names melons, okra or aubergines (judgement)."""
    for crop in ("melon", "eggplant", "okra"):
        found = first_picking(crop, "set out", date(2014, 6, 10), LEUCHARS).likely
        assert found is None or found > 110, crop
