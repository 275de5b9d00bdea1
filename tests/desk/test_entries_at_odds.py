"""Two entries that cannot both be so are told as a pair, and others are not."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from lattermath.desk.entries_at_odds import (
    FAR_APART,
    NONE_AND_SOME,
    TICKED_TWICE,
    TREATED_TWICE,
    AtOdds,
    entries_at_odds,
)
from lattermath.vocabulary.events import Event, Payload, Picking, Sighting, TaskDone, Treatment


def event(serial: int, payload: Payload, day: int = 5) -> Event:
    at = datetime(2025, 8, day, 17, 0, tzinfo=UTC)
    return Event(serial, f"id-{serial}", "any", 1, at, "Europe/London", at, payload)


SOME = Sighting("beans", "aphid", "count", looked_at=2, counts=(12, 0))
NONE = Sighting("beans", "aphid", "count", looked_at=10, total=0)
SOAP = Treatment(("beans",), "soap", "soap")


def look(**found: object) -> Sighting:
    return Sighting("beans", "aphid", "count", looked_at=10, **found)  # type: ignore[arg-type]


def judged(percent: float, surface: str = "underside") -> Sighting:
    return Sighting("beans", "bean_rust", "severity", "", surface, percent=percent)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [
        (SOME, NONE, NONE_AND_SOME),
        (Sighting("beans", "aphid", "first seen"), NONE, NONE_AND_SOME),
        (SOME, Sighting("beans", "aphid", "count", looked_at=10, total=1300), FAR_APART),
        (look(level="few"), look(level="heavy"), FAR_APART),
        (look(counts=(1, 0, 1)), look(level="heavy"), FAR_APART),
        (judged(1.0), judged(40.0), FAR_APART),
        (judged(3.0), judged(0.0), NONE_AND_SOME),
        (look(total=4, stage="scales"), NONE, NONE_AND_SOME),  # none of any stage
        (look(total=4, stage="egg"), look(total=0, stage="eggs"), NONE_AND_SOME),
        (look(total=4), look(total=0, surface="whole"), NONE_AND_SOME),
        (TaskDone("a1", "as written"), TaskDone("a1", "not done"), TICKED_TWICE),
        (TaskDone("a1", "as written"), TaskDone("a1", "as written"), TICKED_TWICE),
        (SOAP, SOAP, TREATED_TWICE),
    ],
)
def test_what_cannot_both_be_is_a_pair(one: Payload, other: Payload, why: str) -> None:
    assert entries_at_odds([event(2, other), event(1, one)]) == (AtOdds(1, 2, why),)


@pytest.mark.parametrize(
    ("one", "other", "days"),
    [
        (SOME, SOME, (5, 5)),  # two looks that found some
        (SOME, NONE, (4, 5)),  # another day
        (SOME, Sighting("beans", "aphid", "count", looked_at=10, total=600), (5, 5)),
        (look(level="few"), look(level="many"), (5, 5)),
        (look(counts=(1, 0)), look(counts=(19, 0)), (5, 5)),  # they sit in clumps
        (look(counts=(1,), stage="eggs"), look(counts=(900,), stage="adult"), (5, 5)),
        (judged(1.0), judged(15.0), (5, 5)),
        (look(total=1), look(total=9), (5, 5)),  # hardly any either time
        (judged(1.0, "top"), judged(90.0), (5, 5)),
        (judged(3.0), judged(0.0, "top"), (5, 5)),  # ill below, clean above
        (look(total=30), look(total=0, stage="eggs"), (5, 5)),  # adults, and no eggs yet
        (look(total=9, stage="eggs"), NONE, (5, 5)),  # nobody counts eggs without saying so
        (look(total=30, surface="flowers"), NONE, (5, 5)),
        (look(level="heavy"), Sighting("beans", "aphid", "first seen"), (5, 5)),
        (SOME, Sighting("peas", "aphid", "count", total=0), (5, 5)),
        (SOME, Sighting("beans", "aphid", "shake", looked_at=1, level="none"), (5, 5)),
        (SOAP, Treatment(("peas",), "soap", "soap"), (5, 5)),
        (SOAP, SOAP, (4, 5)),
        (TaskDone("a1", "as written"), TaskDone("b2", "not done"), (5, 5)),
        (Picking("beans", 1.0), Picking("beans", 1.0), (5, 5)),  # two baskets
    ],
)
def test_what_may_both_be_is_none(one: Payload, other: Payload, days: tuple[int, int]) -> None:
    assert entries_at_odds([event(1, one, days[0]), event(2, other, days[1])]) == ()
