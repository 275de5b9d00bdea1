"""What was found stands until a look that could have seen it finds none."""

from __future__ import annotations

from typing import Any

import pytest

from lattermath.planning.still_there import NOTHING, left_after
from lattermath.vocabulary.events import Sighting


def look(measure: Any, **more: Any) -> Sighting:
    return Sighting("p", "it", measure, **more)


MANY = look("count", counts=(40, 22))
SHAKEN = look("shake", level="heavy", looked_at=3)
SCALES = look("count", stage="scales", counts=(4,))
TOPS = look("severity", surface="top", percent=5.0)
UNDER = look("severity", surface="underside", percent=5.0)


@pytest.mark.parametrize(
    ("looks", "there"),
    [
        ((MANY,), True),
        ((MANY, look("count", total=0)), False),
        ((MANY, look("count", stage="eggs", total=0)), True),  # no eggs, and mites all the same
        ((SHAKEN, look("count", stage="scales", total=0)), True),
        ((look("count", stage="scales", total=0), SHAKEN), True),
        ((SCALES, look("count", stage="scales", total=0)), False),
        ((SCALES, look("shake", level="none", looked_at=3)), True),  # scales do not fly up
        ((SHAKEN, look("shake", level="none", looked_at=3)), False),
        ((UNDER, look("severity", surface="top", percent=0.0)), True),  # growers see tops only
        ((TOPS, UNDER, look("severity", surface="whole", percent=0.0)), False),
        ((look("severity", surface="whole", percent=9.0),
          look("severity", surface="top", percent=0.0),
          look("severity", surface="underside", percent=0.0)), False),
        ((UNDER, look("count", total=0)), False),  # "none", said of the whole plant
    ],
)  # fmt: skip
def test_a_look_takes_away_what_it_could_have_seen(
    looks: tuple[Sighting, ...], there: bool
) -> None:
    parts = NOTHING
    for one in looks:
        parts = left_after(parts, one)
    assert bool(parts) is there
