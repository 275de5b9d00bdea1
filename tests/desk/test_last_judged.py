"""What was last judged of a leaf disease stands beside what is believed of it."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.leaf_progress import last_judged
from lattermath.vocabulary.events import Event, Sighting

NOON = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)
MILDEW = "cucurbit_powdery_mildew"
EARLIER = (1, Sighting("cukes", MILDEW, "severity", "", "top", 10, percent=4.0))
TOPS = (6, Sighting("cukes", MILDEW, "severity", "", "top", 10, percent=40.0))
BELOW = (6, Sighting("cukes", MILDEW, "severity", "", "underside", 10, level="few"))
STEMS = (6, Sighting("cukes", MILDEW, "severity", "", "stem", 10, percent=40.0))
NONE = (7, Sighting("cukes", MILDEW, "severity", "", "both", 10, level="none"))
SEEN = (7, Sighting("cukes", MILDEW, "first seen"))
BESIDE = (8, Sighting("next", MILDEW, "severity", "", "top", 10, percent=90.0))
OTHER = (8, Sighting("cukes", "cucurbit_downy_mildew", "severity", "", "top", 10, percent=90.0))


@pytest.mark.parametrize(
    ("looks", "says"),
    [
        ((), ""),
        ((SEEN,), ""),
        ((EARLIER, TOPS, SEEN, BESIDE, OTHER), "Thu 6 Aug: 40 % of the leaf on top."),
        ((TOPS, BELOW), "Thu 6 Aug: 40 % of the leaf on top and few leaves underneath."),
        ((EARLIER, STEMS), "Thu 6 Aug: some on stems."),
        ((TOPS, NONE), "Fri 7 Aug: none."),
    ],
)
def test_the_last_day_on_which_it_was_judged_there_is_told(
    looks: tuple[tuple[int, Sighting], ...], says: str
) -> None:
    events = tuple(
        Event(n, str(n), "sighting", 1, NOON.replace(day=day), "UTC", NOON, seen)
        for n, (day, seen) in enumerate(looks)
    )
    facts: Any = SimpleNamespace(events=events)
    told = last_judged(facts, MILDEW, "cukes")
    assert told == (f" Last judged there, {says}" if says else "")
