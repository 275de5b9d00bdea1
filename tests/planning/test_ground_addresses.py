"""What a watering rests on leads somewhere, also where no bed was ever given."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.belief.soil import UNDER
from lattermath.planning.watering import _rests_on


@pytest.mark.parametrize(
    ("bed", "address"),
    [(f"{UNDER}cabbages", "plot:planting/cabbages"), ("north", "plot:bed/north")],
)
def test_ground_without_a_bed_is_the_plantings_own(bed: str, address: str) -> None:
    need: Any = SimpleNamespace(key="cabbages")
    soil: Any = SimpleNamespace(events=(3,), ground=SimpleNamespace(bed=bed))
    first, *others = _rests_on(need, soil)
    assert first == address
    assert others == ["computed:soil water of cabbages", "event:3"]
