"""What was last judged of a leaf disease stands beside what is believed of it."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any
from unittest.mock import patch

import pytest

from lattermath.desk.last_counted import last_counted
from lattermath.desk.leaf_progress import _areas, last_judged
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.calendar import said
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
        (
            (TOPS, BELOW),
            "Thu 6 Aug: 40 % of the leaf on top and few (up to 5 %) underneath.",
        ),
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


def count(day: int, **found: object) -> tuple[int, Sighting]:
    return day, Sighting("cukes", "melon_aphid", found.pop("measure", "count"), **found)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("looks", "says"),
    [
        ((count(1, looked_at=10, total=0), count(4, looked_at=10, level="heavy")), "heavy on 10"),
        ((count(4, looked_at=10, total=38), count(7, measure="some", looked_at=10, total=3)),
         "some on 3 of 10 leaves."),
        ((count(4, counts=(3, 1)), count(7, measure="shake", level="few")), "2 a leaf"),
        ((count(4, looked_at=1, level="few"), count(2, looked_at=10, total=9)), "few on 1 leaf."),
    ],
)  # fmt: skip
def test_a_class_or_a_share_is_a_count_too(
    looks: tuple[tuple[int, Sighting], ...], says: str
) -> None:
    """The newest look at leaves is told, in whatever words it was logged."""
    events = tuple(
        Event(n, str(n), "sighting", 1, NOON.replace(day=day), "UTC", NOON, seen)
        for n, (day, seen) in enumerate(looks)
    )
    facts: Any = SimpleNamespace(events=events, tables=load_tables())
    habits = SimpleNamespace(counted_by_plant=False, counted="nymph")
    stand = SimpleNamespace(key="cukes")
    belief: Any = SimpleNamespace(
        organism="melon_aphid",
        stands=(stand,),
        life=SimpleNamespace(figures=SimpleNamespace(habits=habits)),
    )
    with patch("lattermath.desk.last_counted.worst_place", return_value=0):
        told = last_counted(facts, belief, ["cukes"])
    assert said(NOON.replace(day=max(day for day, one in looks if one.measure != "shake"))) in told
    assert says in told


def severity(side: str, percent: float) -> Sighting:
    return Sighting("cukes", MILDEW, "severity", "", side, 10, percent=percent)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("looks", "says"),
    [
        # Tops 12 and 45 in 10 days: (12 + 45) / 2 x 10; the underside of one day is not in it.
        (
            ((1, "top", 12.0), (1, "underside", 4.0), (11, "top", 45.0)),
            "2 readings on top over 10 days add up to 285 percent-days",
        ),
        # Tops on three days are more than both sides on two.
        (
            ((1, "top", 12.0), (1, "underside", 4.0), (5, "top", 25.0),
             (11, "top", 45.0), (11, "underside", 15.0)),
            "3 readings on top over 10 days add up to",
        ),
        (
            ((1, "top", 12.0), (1, "underside", 4.0), (2, "top", 45.0), (2, "underside", 15.0)),
            "2 readings over 1 day add up to 19 percent-days",
        ),
        (((1, "top", 12.0), (11, "underside", 45.0)), ""),
    ],
)  # fmt: skip
def test_readings_are_added_up_side_by_side(
    looks: tuple[tuple[int, str, float], ...], says: str
) -> None:
    """The mean of both sides of one day was added to the tops of another."""
    events = tuple(
        Event(n, str(n), "sighting", 1, NOON.replace(day=day), "UTC", NOON, severity(side, percent))
        for n, (day, side, percent) in enumerate(looks)
    )
    plot: Any = SimpleNamespace(planting=lambda key: SimpleNamespace(name="Cukes"))
    facts: Any = SimpleNamespace(events=events, plot=plot)
    population: Any = SimpleNamespace(plantings=("cukes",), organism=MILDEW)
    told = [because.says for because in _areas(facts, population)]
    assert len(told) == bool(says) and all(f"Cukes: {says}" in one for one in told)
